from dataclasses import replace

import pytest

from stickback.course import read as courses
from stickback.services import check as checks
from stickback.services import review, verify
from stickback.store import log

RIGHT = b"- [x] The {{ rudder_foot }} one\n- [ ] The {{ other_foot }} one\n- [ ] Both"
NOW = b"- [ ] The {{ rudder_foot }} one\n- [ ] The {{ other_foot }} one\n- [x] Both"


@pytest.fixture
def corrected(course_folder):
    """Reads the course after its author turned the answer of `foot` round."""

    def read(heading=b"{#foot}"):
        files = {path.relative_to(course_folder).as_posix(): path.read_bytes() for path in course_folder.rglob("*.md")}
        assert RIGHT in files["take-off.md"]
        files["take-off.md"] = files["take-off.md"].replace(RIGHT, NOW).replace(b"{#foot}", heading)
        return courses.read(files.items())

    return read


def named(course, store):
    return [(each.file, each.line, each.code, each.severity) for each in checks.outdated(course, store)]


def test_an_answer_keeps_the_key_of_its_question(school, hands):
    _, marked = hands.answer(school.begin(0, topic="swing"))
    keys = {school.course.log_name(each): each.key for each in school.course.questions.values()}
    assert [entry.key for entry in school.log()] == [keys[marked.stored.question]]


def test_a_question_whose_right_answer_changed_under_answers_is_named_with_how_many_it_concerns(
    school, hands, corrected
):
    hands.finish(school.begin(0, topic="swing"))
    assert named(school.course, school.store) == []
    (found,) = checks.outdated(corrected(), school.store)
    line = school.course.questions["foot"].line
    assert (found.file, found.line, found.code, found.severity) == ("take-off.md", line, "key-changed", "warning")
    assert "1 student last answered" in found.message
    assert "asks=again" in found.hint


def test_one_that_asks_again_is_not_named_nor_is_one_answered_since(school, hands, corrected):
    hands.finish(school.begin(0, topic="swing"))
    assert named(corrected(b"{#foot asks=again}"), school.store) == []
    after = corrected()
    hands.finish(replace(school, course=after).begin(30, topic="swing"))
    assert named(after, school.store) == []


def test_an_answer_taken_back_and_one_stored_before_keys_were_say_nothing(school, hands, corrected):
    after = corrected()
    session = school.begin(0, topic="swing")
    while isinstance(step := review.ask(session), review.Step):
        session, _ = hands.answer(session)
        if step.question.id == "foot":
            session = replace(session, desk=session.desk.undo()[0])
            session = review.pass_over(session, step)
    assert named(after, school.store) == []
    (given,) = [entry for entry in school.log() if entry.question == "tw/foot"]
    log.append(school.store, "before", replace(given, key=None, device=None, number=None, seal=None))
    assert named(after, school.store) == []


def test_a_check_of_the_log_notes_it_and_finds_no_fault(school, hands, corrected):
    hands.finish(school.begin(0, topic="swing"))
    after = corrected()
    (note,) = [note for check in verify.verify(school.store, after) for note in check.notes]
    assert note.startswith("take-off.md:")
    assert "asks=again" in note
    assert not any(check.wrong for check in verify.verify(school.store, after))
