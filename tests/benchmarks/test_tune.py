"""How long tuning takes against the library alone on the same items, as ratios of the same run.

A student with 20,000 answers is tuned from the database: the log is read, a process of its own is started, which
applies the gate and fits; nothing is adopted, so that each run does the same. The library alone is given the same items
as lists: its objects are built, one set is fitted, and the five fits to growing parts are made and judged, as the gate
asks. Those five cost more than two fits to the whole, and the library spreads them over the cores that are free: of a
busy machine nothing can be said. The best runs are compared.
"""

from time import perf_counter

import fsrs_rs_python as library
import pytest

import invented
from stickback.memory import tune
from stickback.memory.curve import DEFAULTS
from stickback.services import tune as service
from stickback.store import engine, union

ANSWERS, RUNS, MOST, MOST_BARE = 20_000, 15, 2.5, 4.0

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def answers():
    return invented.answers(invented.person(5), ANSWERS, a_day=50)


@pytest.fixture(scope="module")
def store(answers, tmp_path_factory):
    made = engine.locate(str(tmp_path_factory.mktemp("tune") / "school.db"))
    union.merge(made, [("me", each) for each in invented.entries(answers)])
    return made


def alone(items):
    """Seconds of a bare fit, and of the evaluation that the gate asks for."""
    start = perf_counter()
    known = [library.FSRSItem([library.FSRSReview(*each) for each in item.answers]) for item in items]
    library.FSRS(list(DEFAULTS)).compute_parameters(known)
    fitted = perf_counter()
    library.evaluate_with_time_series_splits(known)
    return fitted - start, perf_counter() - fitted


def test_tuning_takes_at_most_four_bare_fits_and_two_and_a_half_that_are_judged_by_the_library_alone(store, answers):
    items, fitting, judging, tuning = list(tune.items(answers)), [], [], []
    for _ in range(RUNS):
        bare, gate = alone(items)
        start = perf_counter()
        found = service.attempt(store, "me")
        tuning.append(perf_counter() - start)
        fitting.append(bare)
        judging.append(bare + gate)
        assert found.fit is not None
        assert found.fit.better
    bare, with_gate = min(tuning) / min(fitting), min(tuning) / min(judging)
    print(f"\n{len(items)} items, {RUNS} runs: {bare:.2f} times a bare fit, {with_gate:.2f} times one with the gate")
    assert with_gate <= MOST
    assert bare <= MOST_BARE
