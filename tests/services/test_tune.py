import json
import subprocess
import sys
from dataclasses import asdict
from datetime import date

import numpy as np
import pytest
from fsrs import Scheduler

import invented
from stickback.memory import curve, tune
from stickback.memory.curve import DEFAULTS, RIGHT, WRONG
from stickback.refused import Refused
from stickback.services import desk as desks
from stickback.services import person, verify
from stickback.services import tune as service
from stickback.store import acts, log, parameters, people, union
from stickback.study.student import Student

TODAY = date(2026, 6, 1)
APART = invented.person(5)


def learn(school, given, name="me"):
    """Gives a student a past; the questions of the course come first in it."""
    union.merge(school.store, [(name, each) for each in invented.entries(given, list(school.desk().questions))])


def tuned(school, name="me", **how):
    (outcome,) = service.tuned(school.store, [Student(name=name)], TODAY, **how)
    return outcome


def in_force(school, name="me"):
    return parameters.sets(school.store, name).in_force


def known(school, name="me"):
    desk = desks.desk(school.course, school.store, name, TODAY)
    return {one.history: one.known for one in desk.grasp(desk.number)}


def verified(school):
    return {check.name: check.wrong for check in verify.verify(school.store, school.course) if check.wrong}


@pytest.fixture(scope="module")
def far():
    """A thousand answers of someone whose memory is far from the defaults."""
    return invented.answers(APART, 1000)


@pytest.fixture(scope="module")
def near():
    """A thousand answers of someone whose memory follows the defaults."""
    return invented.answers(DEFAULTS, 1000)


# the gate


def test_who_forgets_otherwise_gets_a_set_that_predicts_better(school):
    learn(school, invented.answers(APART, 4000))
    outcome = tuned(school)
    assert (outcome.what, outcome.answers, outcome.personal) == ("adopted", 4000, True)
    assert outcome.sharper > 0.05
    assert in_force(school) != DEFAULTS
    Scheduler(in_force(school))


def test_who_follows_the_defaults_keeps_them(school):
    learn(school, invented.answers(DEFAULTS, 4000))
    outcome = tuned(school)
    assert (outcome.what, outcome.personal, in_force(school)) == ("kept", False, DEFAULTS)
    assert outcome.sharper <= 0


def test_that_a_set_was_fitted_or_taken_back_is_written_down_where_somebody_may_ask(school):
    person.add(school.store, school.course, "Otto", "school", (), TODAY)
    learn(school, invented.answers(APART, 1000))
    tuned(school)
    service.undone(school.store, Student(name="me"), TODAY)
    assert [(act.what, act.whom) for act in acts.read(school.store)][-2:] == [("tuned", "me"), ("untuned", "me")]


@pytest.mark.parametrize("many", [0, 3, 499])
def test_below_the_least_number_of_answers_nothing_is_even_tried(school, far, many):
    learn(school, far[:many])
    outcome = tuned(school, ask=pytest.fail)
    assert (outcome.what, outcome.why) == ("kept", f"needs 500 graded answers, has {many}")
    assert parameters.sets(school.store, "me").tried == 0


def test_practice_and_what_was_taken_back_are_no_graded_answers(school, far):
    learn(school, far[:500])
    school.desk(-400).undo()
    assert tuned(school, ask=pytest.fail).why == "needs 500 graded answers, has 499"


def test_the_fit_sees_only_what_moved_the_memory_in_the_order_of_the_days(school, hands):
    for right in (True, False):
        session, _ = hands.answer(school.begin(0, topic="swing"), right=right)
    session.desk.undo()
    school.flown(1, "take-off")
    session, _ = hands.answer(school.begin(2, topic="swing"), right=False)
    session, _ = hands.answer(session, confidence="guess")
    past = session.desk.past
    assert len(past.graded) < len(past.answers)
    assert [(day, grade) for _, day, grade in service.graded(school.store, "me")] == [
        (row.day, 1 if not row.right else 2 if row.confidence == "guess" else 3) for row in past.graded
    ]


def test_each_question_keeps_its_answers_together(school, far):
    learn(school, far[:300])
    numbers, places = {}, {}
    seen = [(numbers.setdefault(history, len(numbers)), day, grade) for history, day, grade in far[:300]]
    found = [
        (places.setdefault(history, len(places)), day, grade)
        for history, day, grade in service.graded(school.store, "me")
    ]
    assert found == seen


# again at each doubling


@pytest.mark.parametrize("which", ["far", "near"])
def test_a_fit_is_tried_again_only_when_the_answers_have_doubled(school, request, which):
    learn(school, request.getfixturevalue(which))
    first = tuned(school)
    assert first.sharper is not None
    again = tuned(school, ask=pytest.fail)
    assert (again.what, again.personal) == ("kept", first.personal)
    assert again.why == "last tried at 1000 graded answers, next at 2000, has 1000"
    learn(school, invented.answers(APART if which == "far" else DEFAULTS, 2000))
    assert tuned(school).sharper is not None
    assert parameters.sets(school.store, "me").tried == 2000


def test_where_a_later_fit_is_refused_the_defaults_are_in_force_again(school, far):
    learn(school, far)
    parameters.adopt(school.store, "me", APART, 500, school.desk().clock)
    worse = json.dumps({"parameters": [], "defaults": 0.4, "fitted": 0.41, "tested": 700})
    outcome = tuned(school, ask=lambda _: worse)
    assert (outcome.what, outcome.personal, in_force(school)) == ("back", False, DEFAULTS)


# everything follows the set in force


def test_what_is_known_and_the_days_ahead_follow_the_set_in_force(school, far):
    learn(school, far)
    before = known(school)
    tuned(school)
    after, w = known(school), in_force(school)
    assert before.keys() == after.keys()
    assert before != after
    desk = desks.desk(school.course, school.store, "me", TODAY)
    for history, one in after.items():
        if one is not None:
            stability, _, day = desk.past.state(history)
            recall = curve.recall(np.array(stability), np.array(desk.number - day), w)
            assert one == pytest.approx(float(curve.known(recall, desk.guesses[history])), abs=1e-12)


def test_an_answer_after_it_and_the_log_before_a_day_follow_it_too(school, far, hands):
    learn(school, far)
    tuned(school)
    session, _ = hands.answer(school.begin(0, topic="swing"))
    past = session.desk.past
    assert {past.own, past.before(1).own, past.of("tw/way").own} == {in_force(school)}
    stability = (each.columns.memory.stability.tolist() for each in (past, school.desk().past))
    assert next(stability) == next(stability)


def test_the_log_is_verified_under_the_set_in_force(school, far):
    learn(school, far)
    tuned(school)
    assert in_force(school) != DEFAULTS
    assert verified(school) == {}


def test_a_damaged_set_is_found_by_the_check_of_the_log(school, far):
    learn(school, far[:5])
    parameters.adopt(school.store, "me", APART, 500, school.desk().clock)
    with school.store.writing() as connection:
        connection.exec_driver_sql("UPDATE parameters SET \"values\" = '[1]'")
    assert verified(school)["rows"] == ("me: an adopted set of parameters cannot be read",)
    assert in_force(school) == DEFAULTS


def test_the_sets_of_two_students_do_not_mix(school, far, near):
    learn(school, far, "Ann")
    learn(school, near, "Bea")
    alone = known(school, "Bea")
    ann, bea = service.tuned(school.store, [Student(name="Ann"), Student(name="Bea")], TODAY)
    assert (ann.student, ann.what, bea.student, bea.what) == ("Ann", "adopted", "Bea", "kept")
    assert in_force(school, "Bea") == DEFAULTS != in_force(school, "Ann")
    assert known(school, "Bea") == alone


def test_no_entry_is_changed(school, far):
    learn(school, far)
    before = log.fingerprint(school.store)
    tuned(school)
    service.undone(school.store, Student(name="me"), TODAY)
    assert log.fingerprint(school.store) == before


# going back


def test_going_back_restores_the_memory_exactly(school, far):
    learn(school, far)
    before = known(school)
    tuned(school)
    outcome = service.undone(school.store, Student(name="me"), TODAY)
    assert (outcome.what, outcome.personal) == ("back", False)
    assert known(school) == before
    assert len(parameters.sets(school.store, "me").adopted) == 2


def test_going_back_from_a_second_set_restores_the_first(school, far):
    learn(school, far)
    tuned(school)
    first, before = in_force(school), known(school)
    parameters.adopt(school.store, "me", APART, 2000, school.desk().clock)
    assert service.undone(school.store, Student(name="me"), TODAY).personal
    assert (in_force(school), known(school)) == (first, before)


def test_what_was_gone_back_from_is_not_adopted_again_at_once(school, far):
    learn(school, far)
    tuned(school)
    service.undone(school.store, Student(name="me"), TODAY)
    assert tuned(school, ask=pytest.fail).what == "kept"
    with pytest.raises(Refused, match="me has the defaults: there is nothing to go back from"):
        service.undone(school.store, Student(name="me"), TODAY)


def test_who_was_erased_and_begins_anew_has_the_defaults(school, far):
    learn(school, far)
    tuned(school)
    people.erase(school.store, "me")
    assert in_force(school) == DEFAULTS


# whatever goes wrong

FIVE_HUNDRED = 500


def rows():
    """Data on which the fitting library fails or makes nonsense, each as answers; source: memory-model, 4.3."""
    spread = range(FIVE_HUNDRED)
    twice = [(n, 0, RIGHT) for n in spread]
    yield "nothing", []
    yield "seven items", [*twice[:7], *((n, 1 + n, WRONG) for n in range(7))]
    yield "fifty items", [*twice[:50], *((n, 1 + n % 4, 1 + n % 3) for n in range(50))]
    yield "only first answers", twice
    yield "one of each day", [(n // 4, 0, 1 + n % 3) for n in spread]
    yield "all right", [*twice, *((n, 2, RIGHT) for n in spread)]
    yield "all wrong", [*((n, 0, WRONG) for n in spread), *((n, 2, WRONG) for n in spread)]
    yield "every first gap another", [*twice, *((n, 1 + n, 1 + n % 3) for n in spread)]
    yield "a grade of nothing", [*twice, *((n, 1, n % 3) for n in spread)]
    yield "a grade beyond the library's", [*twice, *((n, 1, 5) for n in spread)]
    yield "a history longer than the library takes", [(0, n, 1 + n % 3) for n in range(600)]
    yield "a gap beyond measure", [*twice, *((n, 10**8, 1 + n % 2) for n in spread)]
    yield "days in disorder", [*((n, 9, RIGHT) for n in spread), *((n, 1, WRONG) for n in spread)]


@pytest.mark.parametrize("answers", [pytest.param(given, id=name) for name, given in rows()])
def test_data_that_cannot_be_fitted_give_a_set_that_can_be_used_or_none(answers, capfd):
    fit = service.fitted(answers)
    assert fit is None or curve.usable(fit.parameters or DEFAULTS)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("name", ["nothing", "seven items", "only first answers", "all right", "one of each day"])
def test_data_too_poor_for_a_fit_never_reach_the_library(name):
    assert tune.short_of(dict(rows())[name])


PANIC = (
    "import fsrs_rs_python as library\n"
    "item = library.FSRSItem([library.FSRSReview(3, 0)])\n"
    "library.FSRS(library.DEFAULT_PARAMETERS).compute_parameters([item] * 99)"
)
ENDS = {
    "a panic of the library": PANIC,
    "an error": "raise ValueError",
    "killed": "import os, signal; os.kill(os.getpid(), getattr(signal, 'SIGKILL', signal.SIGTERM))",
    "exit without a word": "",
    "half a word": "print('{\"parameters\":')",
    "no fit": "print('{}')",
    "parameters beyond the bounds": 'print(\'{"parameters": [99], "defaults": 1, "fitted": 0.5, "tested": 9}\')',
    "no such program": None,
}


@pytest.mark.parametrize("program", [pytest.param(code, id=name) for name, code in ENDS.items()])
def test_however_the_process_that_fits_ends_everything_stays_as_it_was(school, far, program, capfd):
    learn(school, far)
    parameters.adopt(school.store, "me", APART, 500, school.desk().clock)
    command = ["no-such-program"] if program is None else [sys.executable, "-c", program]
    outcome = tuned(school, ask=lambda text: service.in_child(text, command))
    assert (outcome.what, outcome.why) == ("kept", "no fit came of these answers")
    assert (in_force(school), parameters.sets(school.store, "me").tried) == (APART, 500)
    assert capfd.readouterr() == ("", "")


def test_a_process_that_never_ends_is_ended(school, far):
    forever = [sys.executable, "-c", "import threading; threading.Event().wait()"]
    with pytest.raises(subprocess.TimeoutExpired):
        service.in_child("", forever, seconds=0)
    learn(school, far)
    outcome = tuned(school, ask=lambda text: service.in_child(text, forever, seconds=0))
    assert (outcome.what, in_force(school)) == ("kept", DEFAULTS)


def test_nothing_of_the_folder_one_stands_in_is_imported(tmp_path, monkeypatch, far):
    (tmp_path / "json.py").write_text("raise SystemExit(7)")
    monkeypatch.chdir(tmp_path)
    assert service.fitted(far) is not None


def test_one_students_failure_is_no_other_students(school, far):
    learn(school, far, "Ann")
    learn(school, far[:900], "Bea")

    def ask(text):
        return service.in_child(text) if len(json.loads(text)["answers"]) == 1000 else "nonsense"

    found = list(service.tuned(school.store, [Student(name="Bea"), Student(name="Ann")], TODAY, ask))
    assert [(each.student, each.what) for each in found] == [("Bea", "kept"), ("Ann", "adopted")]


# in words


@pytest.mark.parametrize(
    ("share", "says"),
    [(0.0312, "3\xa0%"), (-0.123, "12\xa0%"), (0.0099, "less than 1\xa0%"), (0, "less than 1\xa0%"), (0.01, "1\xa0%")],
)
def test_a_share_is_said_in_whole_hundredths(share, says):
    assert service.percent(share) == says


def test_no_single_parameter_is_told(school, far):
    learn(school, far)
    told = json.dumps(asdict(tuned(school)))
    assert not any(f"{value:.3f}" in told for value in in_force(school) if value != 0)
