import shutil
from datetime import date

import pytest

from stickback.course import named
from stickback.course import read as courses
from stickback.memory.past import Row
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import folder, marking
from stickback.study.student import Student


def ids(histories):
    return {key.removeprefix("tw/") for key, _ in histories}


def test_the_desk_of_a_day_has_that_day_whatever_the_machine_says(taught, school):
    made = desks.desk(taught, school.store, "me", date(2031, 2, 3))
    assert (made.day, made.number) == (date(2031, 2, 3), 22313)


def test_the_student_me_is_there_without_asking_and_no_other(taught, school):
    assert desks.desk(taught, school.store, "me", None).student.name == "me"
    with pytest.raises(Refused, match="no student 'ada'"):
        desks.desk(taught, school.store, "ada", None)


def test_a_zone_that_is_not_there_is_refused(taught, school):
    school.set(zone="Mars/Olympus")
    with pytest.raises(Refused, match="Mars/Olympus"):
        desks.desk(taught, school.store, "me", None)


def test_who_set_no_aeroplane_flies_the_first_of_the_course(school):
    assert school.desk().sheet.id == "aldwick"


def test_who_set_an_aeroplane_flies_that_one(school):
    school.set(aircraft="bircham")
    assert school.desk().sheet.id == "bircham"


def test_an_aeroplane_that_the_course_does_not_have_is_refused_with_those_it_has(school):
    school.set(aircraft="concorde")
    with pytest.raises(Refused, match=r"'concorde', which is set for [a-zA-Z]+; it has aldwick, bircham\."):
        _ = school.desk().sheet


def test_a_course_without_a_sheet_has_no_aeroplane_to_fly(school):
    with pytest.raises(Refused, match="no aircraft sheet"):
        desks.sheet_of(courses.read([]), school.desk().student)


def test_only_what_the_aeroplane_has_is_asked(school):
    on_heel_brakes = ids(school.desk().questions)
    school.set(aircraft="bircham")
    assert on_heel_brakes - ids(school.desk().questions) == {"heels"}


def test_other_states_questions_are_on_the_board_of_those_who_ask_for_them(school, course_folder, tmp_path):
    deck = "---\ntopic: three-point\n---\n\n## And there? {#there rules=faa}\n\n- [x] A\n- [ ] B\n"
    own = shutil.copytree(course_folder, tmp_path / "own")
    (own / "law.md").write_text(deck)
    course = folder.load(own)
    home, abroad = (desks.pool(course, Student(name="me", abroad=abroad)) for abroad in (False, True))
    assert ids(abroad.questions.keys() - home.questions.keys()) == {"there"}
    assert home.questions.keys() < abroad.questions.keys()


def test_a_question_belongs_to_the_values_it_uses_and_to_no_others(school):
    desk = school.desk()
    assert ids(each for each in desk.questions if each[1]) == {"approach", "dial", "way", "foot"}


def test_the_chance_to_guess_is_known_of_every_question(school):
    guesses = {key.removeprefix("tw/"): guess for (key, _), guess in school.desk().guesses.items()}
    assert (guesses["dial"], guesses["foot"], guesses["nose"], guesses["why"]) == (1 / 2, 1 / 3, 1 / 4, 0)


def test_a_question_never_answered_is_unseen(school):
    assert {one.known for one in school.desk().grasp(20000)} == {None}


def test_how_questions_stand_follows_from_the_log_as_the_memory_library_says(school, hands):
    oracle = hands.oracle()
    hands.finish(school.begin(0), oracle.hearing(0, lambda name: (name != "stick", "think")))
    desk = school.desk(7)
    found = {one.history[0].removeprefix("tw/"): one.known for one in desk.grasp(desk.number)}
    assert {name: known for name, known in found.items() if known is not None} == pytest.approx(
        oracle.known(7), abs=1e-9
    )


def test_a_misbelief_on_what_this_aeroplane_does_not_have_is_not_listed(school, hands):
    hands.finish(school.begin(), lambda name: (name != "heels", "sure"))
    assert ids(school.desk().misbeliefs) == {"heels"}
    school.set(aircraft="bircham")
    assert school.desk().misbeliefs == {}


def test_an_error_seen_in_flight_is_open_at_the_desk(school):
    school.flown(0, "take-off", "late-foot")
    assert [(one.error, one.lesson, one.topics) for one in school.desk(1).flown_errors] == [
        ("late-foot", "take-off", ("swing",))
    ]


@pytest.mark.parametrize("name", ["take-off", "2"])
def test_a_lesson_is_named_by_its_id_or_its_number(taught, name):
    assert named.lesson(taught, name).title == "Lesson 2: Take-off"


@pytest.mark.parametrize("name", ["0", "4", "two", ""])
def test_a_lesson_that_the_plan_does_not_have_is_refused_with_those_it_has(taught, name):
    with pytest.raises(Refused, match=rf"no lesson '{name}'; it has aeroplane, landing, take-off\."):
        named.lesson(taught, name)


def test_a_topic_is_named_by_its_id(taught):
    assert named.topic(taught, "swing").title == "Why the nose swings"
    with pytest.raises(Refused, match="no topic 'take-off'"):
        named.topic(taught, "take-off")


def test_the_last_answer_is_voided_and_stays_in_the_log(school, hands):
    session = school.begin()
    session, first = hands.answer(session)
    session, last = hands.answer(session)
    _, row = session.desk.undo()
    assert row.id == last.stored.id
    assert [(each.what, each.voids) for each in school.log()] == [
        ("answer", None),
        ("answer", None),
        ("void", last.stored.id),
    ]
    assert Row.of_entry(school.log()[0]) == first.stored


def test_the_desk_after_it_knows(school, hands):
    session, marked = hands.answer(school.begin(), right=False, confidence="sure")
    assert session.desk.misbeliefs
    after, _ = session.desk.undo()
    assert after.past.voided == {marked.stored.id}
    assert after.misbeliefs == school.desk().misbeliefs == {}


def test_each_step_back_goes_one_further(school, hands):
    session = school.begin()
    for _ in range(3):
        session, _ = hands.answer(session)
    desk, taken = session.desk, []
    for _ in range(3):
        desk, row = desk.undo()
        taken.append(row.id)
    answers = [each.id for each in school.log() if each.what == "answer"]
    assert taken == answers[::-1]
    with pytest.raises(Refused, match="nothing to take back"):
        desk.undo()


def test_a_flown_lesson_is_taken_back_like_an_answer(school, hands):
    hands.answer(school.begin())
    school.flown(0, "2", "late-foot")
    _, row = school.desk().undo()
    assert (row.what, row.question) == ("flown", "tw/take-off")
    assert school.desk().flown_errors == []


def test_the_last_by_study_day_is_taken_back_even_where_the_clock_went_back(school, hands):
    _, late = hands.answer(school.begin(day=5))
    _, row = school.desk(day=0).undo()
    assert row.id == late.stored.id


def test_an_answer_of_a_sitting_is_taken_back_whatever_is_dated_after_it(school, hands):
    session, marked = hands.answer(school.begin(day=0))
    hands.answer(school.begin(day=5))
    after = marking.take_back(session, marked.stored.id)
    assert after.desk.past.voided == {marked.stored.id}
    assert school.desk(day=5).past.voided == {marked.stored.id}
