import io
import json
import sys

import fsrs_rs_python as library
import pytest
from fsrs import Scheduler

import invented
from stickback.memory import fit, tune
from stickback.memory.curve import DEFAULTS


def items(w, many):
    return list(tune.items(invented.answers(w, many)))


@pytest.fixture(scope="module")
def apart():
    """Items of someone whose memory is far from the defaults."""
    return items(invented.person(5), 1000)


def test_who_forgets_otherwise_gets_parameters_that_the_memory_library_takes(apart):
    made = fit.fit(apart, DEFAULTS)
    assert made["fitted"] < made["defaults"]
    assert made["tested"] == len(tune.tested(apart))
    Scheduler(made["parameters"])


def test_who_follows_the_defaults_gets_none():
    made = fit.fit(items(DEFAULTS, 1000), DEFAULTS)
    assert made["parameters"] == []
    assert made["fitted"] >= made["defaults"]


def test_the_same_answers_give_the_same_fit(apart):
    assert fit.fit(apart, DEFAULTS) == fit.fit(apart, DEFAULTS)


def test_the_truth_predicts_better_than_what_was_fitted_and_that_better_than_the_defaults(apart):
    later = items(invented.person(5), 3000)[len(apart) :]
    losses = [fit.loss(later, w) for w in (invented.person(5), fit.fit(apart, DEFAULTS)["parameters"], DEFAULTS)]
    assert losses == sorted(losses)


def test_a_library_of_32_bits_stays_within_the_bounds(apart, monkeypatch):
    class Above:
        def __init__(self, _):
            self.compute_parameters = lambda _: [*DEFAULTS[:-1], 0.800000011920929]

    monkeypatch.setattr(fit, "library", type("Library", (), {**vars(library), "FSRS": Above}))
    monkeypatch.setattr(fit, "loss", lambda *_: 9.9)
    Scheduler(fit.fit(apart, DEFAULTS)["parameters"])


def test_it_reads_answers_and_writes_the_fit(monkeypatch, capsys):
    answers = invented.answers(invented.person(5), 600)
    monkeypatch.setattr(sys, "stdin", io.StringIO(tune.request(answers, DEFAULTS)))
    monkeypatch.setattr(fit.gc, "disable", lambda: None)
    fit.main()
    assert json.loads(capsys.readouterr().out) == fit.fit(list(tune.items(answers)), DEFAULTS)
