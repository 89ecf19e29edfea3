import json
import subprocess
import sys
from dataclasses import replace

import pytest

import invented
from stickback.memory.curve import DEFAULTS
from stickback.store import engine, parameters, union

FAR = invented.person(5)


@pytest.fixture
def learnt(place):
    """Ann's memory is far from the defaults, Bea's follows them, Cam has begun."""
    store = engine.locate(str(place.db))
    for name, w, many in (("Ann", FAR, 1000), ("Bea", DEFAULTS, 1000), ("Cam", DEFAULTS, 312)):
        union.merge(store, [(name, each) for each in invented.entries(invented.answers(w, many))])
    return place


def in_force(place, name):
    return parameters.sets(engine.locate(str(place.db)), name).in_force


def test_the_one_who_studies_is_tuned_and_told_by_how_much_it_is_better(learnt):
    shown = learnt.does("tune", student="Ann")
    assert shown.startswith("Ann: adopted; predictions ")
    assert shown.endswith(" answers not seen before.\n")
    assert in_force(learnt, "Ann") != DEFAULTS == in_force(learnt, "Bea")


def test_a_name_says_who(learnt):
    assert learnt.does("tune", "Cam", student="Ann") == ("Cam: kept the defaults; needs 500 graded answers, has 312.\n")
    assert in_force(learnt, "Ann") == DEFAULTS


def test_the_defaults_are_kept_where_a_fit_proves_no_better(learnt):
    shown = learnt.does("tune", "Bea")
    assert shown.startswith("Bea: kept the defaults; a fit predicts ")
    assert in_force(learnt, "Bea") == DEFAULTS


def test_me_on_a_new_machine_is_told_how_many_answers_it_takes(tmp_path, place):
    new = replace(place, db=tmp_path / "not-there-yet.db")
    assert new.does("tune") == "me: kept the defaults; needs 500 graded answers, has 0.\n"
    assert not new.db.exists()


def test_everyone_is_tuned_with_a_line_each_in_the_order_of_their_names(learnt):
    first, second, third = learnt.does("tune", "--all").splitlines()
    assert first.startswith("1 of 3  Ann: adopted; ")
    assert second.startswith("2 of 3  Bea: kept the defaults; ")
    assert third == "3 of 3  Cam: kept the defaults; needs 500 graded answers, has 312."


def test_going_back_is_said_and_done(learnt):
    learnt.does("tune", "Ann")
    assert learnt.does("tune", "Ann", "--undo") == (
        "Ann: went back to the defaults; the next fit is due at 2000 graded answers, has 1000.\n"
    )
    assert in_force(learnt, "Ann") == DEFAULTS
    assert learnt.fails("tune", "Ann", "--undo") == "Ann has the defaults: there is nothing to go back from."


def test_everyone_goes_back_who_has_something_to_go_back_from(learnt):
    learnt.does("tune", "--all")
    assert learnt.does("tune", "--all", "--undo").count("went back") == 1
    assert learnt.fails("tune", "--all", "--undo") == "Everyone has the defaults: nothing to go back from."


def test_the_log_holds_what_it_promises_under_a_set_of_ones_own(learnt):
    learnt.does("tune", "--all")
    assert "WRONG" not in learnt.does("log", "verify")


def test_json_says_the_same_with_its_numbers(learnt):
    (ann, bea, cam) = json.loads(learnt.does("tune", "--all", "--json"))
    assert [*ann] == ["student", "what", "why", "answers", "sharper", "personal"]
    assert (ann["student"], ann["what"], ann["answers"], ann["personal"]) == ("Ann", "adopted", 1000, True)
    assert ann["sharper"] > 0 >= bea["sharper"]
    assert (cam["what"], cam["sharper"]) == ("kept", None)
    assert json.loads(learnt.does("tune", "Cam", "--json")) == cam


@pytest.mark.parametrize(("words", "status"), [(("Zoe",), 1), (("Ann", "--all"), 2)])
def test_who_is_meant_must_be_there_and_said_once(learnt, words, status):
    learnt.fails("tune", *words, status=status)


def test_a_school_without_students_is_refused(place):
    assert place.fails("tune", "--all") == "No one studies here yet."


def test_nothing_a_person_sees_names_what_is_fitted(learnt):
    shown = learnt.does("tune", "--help") + learnt.does("tune", "--all") + learnt.does("tune", "--all", "--undo")
    assert not {"stability", "difficulty", "again", "hard", "good", "easy"} & {*shown.casefold().split()}


def test_the_library_that_fits_is_loaded_by_no_command(learnt):
    code = f"""
import sys
from stickback.cli.main import cli
for words in (["--help"], ["check"], ["tune", "Bea"]):
    cli(["--db", {str(learnt.db)!r}, "--course", {str(learnt.course)!r}, *words], standalone_mode=False)
print("fsrs_rs_python" in sys.modules, file=sys.stderr)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr == "False\n"
