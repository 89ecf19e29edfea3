import pytest

from stickback.refused import Refused
from stickback.services import note, review
from stickback.store import log


def test_a_flag_is_an_entry_with_the_note_and_what_was_asked(school):
    session = school.begin(0)
    step = review.ask(session)
    after = note.flag(session, step, "The figure is another one.")
    row = after.desk.past.rows[-1]
    assert (row.what, row.question, row.variant, row.given) == ("flag", *step.history, "The figure is another one.")
    assert school.desk(0).past.rows[-1].id == row.id


def test_a_flag_changes_nothing_of_what_is_asked_or_known(school):
    session = school.begin(0)
    step = review.ask(session)
    after = note.flag(session, step, "Odd.")
    again = review.ask(after)
    assert (again.history, again.left) == (step.history, step.left)
    assert after.desk.past.answers == session.desk.past.answers


@pytest.mark.parametrize(("said", "kept"), [("a\n b", "a b"), ("\x1b[31mred", "[31mred"), ("x" * 2001, "x" * 2000)])
def test_a_note_is_kept_as_one_line_of_text(school, said, kept):
    session = school.begin(0)
    assert note.flag(session, review.ask(session), said).desk.past.rows[-1].given == kept


@pytest.mark.parametrize("said", ["", "  ", "\x00", "?"])
def test_a_flag_without_a_note_is_refused(school, said):
    session = school.begin(0)
    with pytest.raises(Refused, match="nothing to note"):
        note.flag(session, review.ask(session), said)


def written(school, *said):
    """Notes written one a day; what is there on the last."""
    for day, (topic, text) in enumerate(said):
        note.write(school.desk(day), topic, text)
    return [(one.topic.id, one.text) for one in note.notes(school.desk(len(said)))]


def test_notes_stand_by_topic_in_the_order_of_the_plan_the_newest_first(school):
    found = written(school, ("swing", "Left foot."), ("sitting", "Higher seat."), ("swing", "Earlier."))
    assert found == [("sitting", "Higher seat."), ("swing", "Earlier."), ("swing", "Left foot.")]


def test_the_notes_of_some_topics_can_be_had_alone(school):
    written(school, ("swing", "Left foot."), ("sitting", "Higher seat."))
    desk = school.desk(2)
    assert [one.text for one in note.notes(desk, [desk.course.plan.topics["swing"]])] == ["Left foot."]


def test_a_note_is_an_entry_beside_its_topic_and_travels_with_the_log(school):
    note.write(school.desk(0), "swing", "Left foot.")
    ((_, entry),) = log.entries_of(school.store)
    assert (entry.what, entry.question, entry.given) == ("note", "tw/swing", "Left foot.")


def test_the_newest_note_is_taken_away_and_the_one_before_is_the_newest(school):
    written(school, ("swing", "Left foot."), ("swing", "Earlier."))
    assert note.take_away(school.desk(3), "swing").text == "Earlier."
    assert [one.text for one in note.notes(school.desk(3))] == ["Left foot."]
    assert note.take_away(school.desk(3), "swing").text == "Left foot."
    with pytest.raises(Refused, match="no note beside 'Why the nose swings'"):
        note.take_away(school.desk(3), "swing")


def test_a_topic_that_the_plan_does_not_have_takes_no_note(school):
    with pytest.raises(Refused, match="no topic 'moon'"):
        note.write(school.desk(0), "moon", "Far.")


def test_notes_say_nothing_of_what_is_known(school):
    before = review.ask(school.begin(0)).history
    note.write(school.desk(0), "swing", "Left foot.")
    assert review.ask(school.begin(0)).history == before
    with pytest.raises(Refused, match="nothing to take back"):
        school.desk(0).undo()
