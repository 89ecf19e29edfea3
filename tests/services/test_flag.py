import pytest

from stickback.refused import Refused
from stickback.services import flag, review


def test_a_flag_is_an_entry_with_the_note_and_what_was_asked(school):
    session = school.begin(0)
    step = review.ask(session)
    after = flag.flag(session, step, "The figure is another one.")
    row = after.desk.past.rows[-1]
    assert (row.what, row.question, row.variant, row.given) == ("flag", *step.history, "The figure is another one.")
    assert school.desk(0).past.rows[-1].id == row.id


def test_a_flag_changes_nothing_of_what_is_asked_or_known(school):
    session = school.begin(0)
    step = review.ask(session)
    after = flag.flag(session, step, "Odd.")
    again = review.ask(after)
    assert (again.history, again.left) == (step.history, step.left)
    assert after.desk.past.answers == session.desk.past.answers


@pytest.mark.parametrize(("note", "kept"), [("a\n b", "a b"), ("\x1b[31mred", "[31mred"), ("x" * 2001, "x" * 2000)])
def test_a_note_is_kept_as_one_line_of_text(school, note, kept):
    session = school.begin(0)
    assert flag.flag(session, review.ask(session), note).desk.past.rows[-1].given == kept


@pytest.mark.parametrize("note", ["", "  ", "\x00"])
def test_a_flag_without_a_note_is_refused(school, note):
    session = school.begin(0)
    with pytest.raises(Refused, match="needs a note"):
        flag.flag(session, review.ask(session), note)
