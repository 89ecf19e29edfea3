import json

import pytest

import worlds
from worlds import DAY, Typist

NOWHERE = "019e827e-8321-73d7-a0be-3836cc147f79"  # an id that no entry has
DROP = ("DROP TRIGGER entries_are_never_changed", "DROP TRIGGER entries_are_never_deleted")


def lines(place, *words, **env):
    return place.does("log", "export", *words, **env).splitlines()


def test_the_export_is_one_object_a_line_with_only_the_keys_that_apply(school):
    found = [json.loads(line) for line in lines(school)]
    assert [(entry["student"], entry["what"]) for entry in found].count(("me", "answer")) == 4
    assert {entry["what"] for entry in found} == {"answer", "flown", "settings"}
    assert None not in {value for entry in found for value in entry.values()}
    assert not any("voids" in entry for entry in found)


def test_the_export_is_sorted_by_student_day_and_id(school):
    school.does("review", "--questions", 2, typed=Typist(), today="2026-06-05")
    found = [json.loads(line) for line in lines(school)]
    keys = [(entry["student"], entry["day"], entry["id"]) for entry in found]
    assert keys == sorted(keys)
    assert len({day for _, day, _ in keys}) == 2


def test_the_export_of_one_student_holds_nobody_elses_entries(school):
    assert {json.loads(line)["student"] for line in lines(school, student="Bea")} == {"Bea"}
    assert len(lines(school, student="Bea")) + len(lines(school, student="me")) == len(lines(school))


def test_an_empty_log_is_said_to_be_empty(place):
    result = place("log", "export")
    assert (result.exit_code, result.stdout, result.stderr) == (1, "", "The log is empty.\n")


def test_what_one_machine_exports_another_takes_in_and_gives_back_the_same(school, place, tmp_path):
    (tmp_path / "log.jsonl").write_text(school.does("log", "export"))
    assert place.does("log", "import", tmp_path / "log.jsonl") == "8 new, 0 there already; new here: Bea, me.\n"
    assert lines(place) == lines(school)
    prints = [each.does("log", "verify").splitlines()[-1] for each in (place, school)]
    assert prints[0] == prints[1]


def test_importing_twice_changes_nothing(school, place):
    mine = school.does("log", "export", student="me")
    place.does("log", "import", "-", typed=mine)
    before = place.stored()
    assert place.does("log", "import", "-", typed=mine) == "0 new, 5 there already.\n"
    assert place.stored() == before


def test_a_school_can_take_its_own_log_in_again(school, place):
    everything = school.does("log", "export")
    place.does("log", "import", "-", typed=everything)
    assert place.does("log", "import", "-", typed=everything) == "0 new, 8 there already.\n"


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"what": "guess"}, "the value of 'what'"),
        ({"mood": "good"}, "the key 'mood' is not known"),
        ({"day": None}, "the value of 'day'"),
        ({"day": "2026-02-30"}, "the value of 'day'"),
        ({"at": "2026-06-01T10:00:00"}, "'at' does not say its zone"),
        ({"at": "9999-12-31T23:59:59-10:00"}, "'at'"),
        ({"at": "1970-01-01T00:00:00+10:00", "day": "1970-01-01"}, "'at'"),
        ({"id": "7"}, "the value of 'id'"),
        ({"confidence": "maybe"}, "the value of 'confidence'"),
        ({"seed": -1}, "the value of 'seed'"),
        ({"score": 2}, "the value of 'score'"),
        ({"given": "x" * 10_001}, "the value of 'given'"),
        ({"given": "\ud800"}, "'given'"),
        ({"student": "\ud800"}, "'student'"),
        ({"student": "a\n\x1b[31mb"}, "'student'"),
        ({"voids": NOWHERE}, "'voids' belongs to an entry 'void'"),
    ],
    ids=lambda value: repr(value)[:40] if isinstance(value, dict) else "",
)
def test_a_bad_line_is_named_by_its_number_and_nothing_is_taken(school, place, change, says):
    good = [line for line in lines(school) if '"answer"' in line]
    bad = json.dumps({**json.loads(good[0]), **change})
    result = place("log", "import", "-", typed="\n".join([good[1], "", bad, good[2]]))
    assert result.exit_code == 1
    assert worlds.sentence(result).startswith("Line 3 is no entry of a log: ")
    assert says in worlds.sentence(result)
    assert worlds.sentence(result).endswith("Nothing was taken.")
    assert place.stored() == []


@pytest.mark.parametrize("raw", [b"{", b"[]", b"7", b"\xff{}", b"[" * 5000, b'{"seed": ' + b"1" * 5000 + b"}", b"{}"])
def test_a_line_that_is_no_object_is_named_too(place, raw):
    result = place("log", "import", "-", typed=b"\n\n" + raw)
    assert result.exit_code == 1
    assert worlds.sentence(result).startswith("Line 3 is no entry of a log: ")


def test_a_day_after_tomorrow_is_refused(school, place):
    answers = school.does("log", "export", student="me")
    assert "Line 1 is dated 2026-06-01, after tomorrow." in place.fails(
        "log", "import", "-", typed=answers, today="2026-05-30"
    )
    assert place.stored() == []
    place.does("log", "import", "-", typed=answers, today="2026-05-31")


def test_a_file_of_one_student_may_be_given_to_another_name(school, place):
    place.does("student", "add", "Ann")
    place.does("log", "import", "-", "--as", "Ann", typed=school.does("log", "export", student="me"))
    assert {json.loads(line)["student"] for line in lines(place)} == {"Ann"}


def test_a_file_of_several_students_cannot_be_one_persons(school, place):
    said = place.fails("log", "import", "-", "--as", "Ann", typed=school.does("log", "export"))
    assert said == "The file holds 2 students, so it cannot all be Ann's; leave out --as."
    assert place.stored() == []


def test_a_file_of_me_does_not_say_whose_it_is_where_others_study(school, place):
    place.does("student", "add", "Ann")
    before = place.stored()
    said = place.fails("log", "import", "-", typed=school.does("log", "export", student="me"))
    assert "say whose it is with --as NAME" in said
    assert place.stored() == before


def test_a_file_of_me_needs_no_name_where_only_me_studies(school, place):
    place.does("review", "--questions", 1, typed=Typist())
    place.does("log", "import", "-", typed=school.does("log", "export", student="me"))
    assert len(place.stored()) == 6


@pytest.mark.parametrize("name", ["", "a\nb", "n" * 81], ids=["none", "two lines", "long"])
def test_a_name_that_no_student_can_have_cannot_be_given(school, place, name):
    place.fails("log", "import", "-", "--as", name, typed=school.does("log", "export", student="me"))
    assert place.stored() == []


def test_a_file_that_cannot_be_read_is_refused(place):
    assert place.fails("log", "import", "nowhere.jsonl").startswith("nowhere.jsonl cannot be read: ")


def test_every_file_of_a_folder_is_taken_and_said_and_a_bad_one_is_named(school, place, tmp_path):
    handed = tmp_path / "handed in"
    (handed / "older").mkdir(parents=True)
    for name in ("me", "Bea"):
        (handed / f"{name}.jsonl").write_text(school.does("log", "export", student=name))
    (handed / "list.txt").write_text("Bea\n")
    result = place("log", "import", handed)
    assert result.stdout == ("Bea.jsonl: 3 new, 0 there already; new here: Bea.\n")
    assert result.stderr == (
        "list.txt: Line 1 is no entry of a log: it is not JSON. Nothing was taken.\n"
        "me.jsonl: The file says `me`, and others study here; say whose it is with --as NAME.\n"
    )
    assert result.exit_code == 1


def test_a_dry_run_takes_nothing(school, place):
    everything = school.does("log", "export")
    assert place.does("log", "import", "-", "--dry-run", typed=everything) == (
        "8 would be new, 0 there already; new here: Bea, me.\n"
    )
    assert place.stored() == []


def test_settings_come_along(school, place):
    place.does("log", "import", "-", typed=school.does("log", "export"))
    assert "Dunmere" in place.does("student", "list")


def test_one_entry_with_two_contents_is_shown_and_taken_when_it_is_said_which(school):
    everything = school.does("log", "export", student="Bea").splitlines()
    row = next(row for row in map(json.loads, everything) if row["what"] == "answer")
    changed = json.dumps({key: row[key] for key in row if key not in {"device", "number", "seal"}} | {"seconds": 77.0})
    result = school("log", "import", "-", typed=changed)
    assert (result.exit_code, result.stdout) == (1, "0 new, 0 there already; 1 entry in conflict, not taken.\n")
    said = result.stderr.splitlines()
    assert said[0] == "One entry, two contents; say --keep here or --keep there:"
    assert (said[1][:6], said[2][:8], '"seconds":77.0' in said[2]) == ("here: ", "line 1: ", True)
    assert school.does("log", "import", "-", "--keep", "there", typed=changed) == "1 new, 0 there already.\n"
    assert '"seconds":77.0' in school.does("log", "export", student="Bea")
    assert "WRONG" not in school.does("log", "verify")


def test_a_name_that_is_nearly_anothers_is_not_taken_unasked(school, place):
    place.does("student", "add", "Beata")
    log = school.does("log", "export", student="Bea").replace('"Bea"', '"Beate"')
    said = place.fails("log", "import", "-", typed=log)
    assert said == "'Beate' is not here, and 'Beata' is; say --as 'Beata', or --new for a new student."
    place.does("log", "import", "-", "--new", typed=log)
    assert "Beate" in place.does("student", "list")


def test_who_was_removed_can_be_exported(school):
    before = lines(school, student="Bea")
    school.does("student", "remove", "Bea")
    assert lines(school, student="Bea") == before


def test_who_was_erased_comes_back_only_when_asked(school):
    log = school.does("log", "export", student="Bea")
    school.does("student", "remove", "Bea", "--erase", "--yes")
    said = school.fails("log", "import", "-", typed=log)
    assert "Bea was erased here; --bring-back takes in" in said
    assert "nothing keeps the old log out from then on." in said
    assert school.does("log", "import", "-", "--bring-back", typed=log).startswith("3 new")


def test_nothing_wrong_is_said_line_by_line_with_a_fingerprint(school):
    shown = school.does("log", "verify").splitlines()
    names = ("guards", "counts", "entries", "voids", "seals", "rows", "keys", "memory")
    assert [line.split()[:2] for line in shown[:8]] == [["ok", name] for name in names]
    assert [line[:11].strip() for line in shown[8:10]] == ["covered", ""]
    assert shown[-1].split()[0] == "fingerprint"


def test_a_fingerprint_follows_the_log(school):
    prints = []
    for command in (("today",), ("student", "set", "Bea", "--minutes", 20), ("undo",)):
        school(*command)
        prints.append(school.does("log", "verify").splitlines()[-1])
    assert len({*prints}) == 3


def test_the_log_is_held_to_a_fingerprint_on_paper(school):
    paper = school.does("log", "verify", "--until", DAY).splitlines()[-1].split()[1]
    school.does("review", "--questions", 1, typed=Typist(), today="2026-06-04")
    held = ("log", "verify", "--against", paper, "--until", DAY)
    assert f"ok     against the log up to {DAY} is the one that was printed" in school.does(*held)
    school.raw("UPDATE students SET name = 'Beo' WHERE name = 'Bea'")
    assert f"not {paper}" in school(*held).stdout


@pytest.mark.parametrize(
    ("name", "statements"),
    [
        ("guards", ()),
        ("counts", ("UPDATE students SET entries = entries + 1 WHERE name = 'Bea'",)),
        ("counts", ("DELETE FROM entries WHERE what = 'flown'",)),
        ("entries", ("UPDATE entries SET day = day + 3 WHERE what = 'flown'",)),
        ("entries", ("UPDATE entries SET zone = 'Nowhere/Atoll' WHERE what = 'flown'",)),
        ("seals", (f"UPDATE entries SET what = 'void', voids = '{NOWHERE}' WHERE what = 'flown'",)),
        ("voids", ("UPDATE entries SET what = 'void', voids = id WHERE what = 'flown'",)),
        ("entries", ('UPDATE entries SET "right" = NOT "right" WHERE kind = \'choice\'',)),
        ("entries", ("UPDATE entries SET score = 0.4 WHERE kind = 'explain'",)),
        ("entries", ("UPDATE entries SET given = 'none' WHERE kind = 'explain'",)),
    ],
)  # fmt: skip
def test_what_was_changed_behind_the_programs_back_is_found(school, name, statements):
    school.raw(*DROP, *statements)
    result = school("log", "verify")
    assert (result.exit_code, result.stderr) == (1, "")
    wrong = [line.split()[1] for line in result.stdout.splitlines() if line.startswith("WRONG")]
    assert set(wrong) - {"seals"} == {"guards", name} - {"seals"}
    assert "seals" in wrong or name in {"guards", "counts"}


def test_each_wrong_entry_is_named_with_its_student(school):
    school.raw(*DROP, "UPDATE entries SET day = day + 3 WHERE what = 'flown'")
    (flown,) = school.raw("SELECT id FROM entries WHERE what = 'flown'")
    assert f"me {flown[0]}: it is dated 2026-06-04, at a moment of 2026-06-01" in school("log", "verify").stdout


def test_a_guard_that_was_weakened_is_missing(school):
    school.raw(
        "DROP TRIGGER entries_are_never_deleted",
        "CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries WHEN 0 BEGIN SELECT RAISE(ABORT, 'no'); END",
    )
    assert "WRONG  guards  \n         entries_are_never_deleted\n" in school("log", "verify").stdout


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET day = 99999999 WHERE what = 'flown'",
        "UPDATE entries SET at = 253402300799000, zone = '+14:00' WHERE what = 'flown'",
        "UPDATE entries SET given = '" + "1" * 5000 + "' WHERE kind = 'explain'",
        "UPDATE entries SET given = '" + "[" * 9000 + "' WHERE what = 'flown'",
    ],
    ids=["day", "moment", "points", "note"],
)
def test_an_entry_beyond_all_measure_is_found_wrong_or_read_and_never_ends_in_a_traceback(school, statement):
    school.raw(*DROP, statement)
    for command in (("log", "verify"), ("log", "export"), ("debrief",)):
        result = school(*command)
        assert isinstance(result.exception, SystemExit | None), (command, result.exception)
