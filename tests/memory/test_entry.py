import json
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback import clock
from stickback.memory.entry import (
    CONFIDENCES,
    FIELDS,
    KEYS,
    LATEST,
    LONGEST,
    Entry,
    as_line,
    canonical,
    from_line,
    unlawful,
)

ID, OTHER_ID = "01890a5d-ac96-774b-bcce-b302099a8057", "01890a5d-ac97-7000-8000-000000000001"
ANSWER = {
    "id": ID,
    "student": "Ann Lee",
    "what": "answer",
    "day": "2026-03-01",
    "at": "2026-03-01T20:15:30.250Z",
    "zone": "Europe/London",
    "question": "tailwheel/raise-tail-swing",
    "variant": "9f86d081",
    "kind": "choice",
    "revision": "60303ae2",
    "aircraft": "quillon",
    "phraseology": "uk",
    "seed": 6671950473981412,
    "given": "b",
    "confidence": "sure",
    "hinted": False,
    "score": 1.0,
    "right": True,
    "marked_by": "program",
    "seconds": 9.5,
}
SEALED = {"device": "01890a5d-ac98-7000-8000-000000000001", "number": 7, "seal": "0123456789abcdef" * 4}
COMMON = {key: ANSWER[key] for key in ("id", "student", "day", "at", "zone")}
VOID = {**COMMON, "what": "void", "voids": OTHER_ID}
FLOWN = {**COMMON, "what": "flown", "question": "tailwheel/take-off", "given": "dragging-a-brake"}
SETTINGS = {**COMMON, "what": "settings", "given": '{"minutes":15}'}
FLAG = {**COMMON, "what": "flag", "question": "tailwheel/raise-tail-swing", "given": "Which tail?"}
NOTE = {**COMMON, "what": "note", "question": "tailwheel/yaw-causes", "given": "P is for propeller"}
ORAL = {
    **COMMON,
    "what": "oral",
    "question": "tailwheel/raise-tail-swing",
    "given": "1 2",
    "score": 0.5,
    "right": False,
    "marked_by": "instructor",
}
NEEDED = {
    "answer": ("question", "variant", "kind", "revision", "seed", "given", "confidence", "score", "right", "seconds"),
    "void": ("voids",),
    "flown": ("question", "given"),
    "settings": ("given",),
    "flag": ("question", "given"),
    "note": ("question", "given"),
    "oral": ("question", "given", "score", "right", "marked_by"),
}
ROWS = {"answer": ANSWER, "void": VOID, "flown": FLOWN, "settings": SETTINGS, "flag": FLAG, "note": NOTE, "oral": ORAL}


def text(most, least=0):
    return st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=least, max_size=most)


milliseconds = st.integers(0, LATEST - 1)
ids = st.builds(clock.uuid7, milliseconds, st.integers(0, 2**74 - 1))
shared = {
    "id": ids,
    "day": st.dates(min_value=date(1970, 1, 1)),
    "at": milliseconds,
    "zone": text(64, 1),
}
answers = st.builds(
    Entry,
    what=st.just("answer"),
    question=text(200, 1),
    variant=text(64),
    kind=text(20, 1),
    revision=text(64, 1),
    aircraft=st.none() | text(80, 1),
    phraseology=st.none() | text(20, 1),
    seed=st.integers(0, 2**53 - 1),
    given=text(99) | st.just("x" * LONGEST),
    confidence=st.sampled_from(CONFIDENCES),
    hinted=st.none() | st.booleans(),
    score=st.floats(0, 1),
    right=st.booleans(),
    marked_by=st.none() | st.sampled_from(("program", "self", "instructor")),
    seconds=st.floats(0, 1e7),
    **shared,
)
voids = st.builds(Entry, what=st.just("void"), voids=ids, **shared)
flown = st.builds(Entry, what=st.just("flown"), question=text(200, 1), given=text(99), **shared)


names = text(80, 1).filter(lambda name: name.isprintable() and name == name.strip())


@given(names, answers | voids | flown)
def test_what_is_written_is_read_back(student, entry):
    line = as_line(student, entry)
    assert "\n" not in line
    assert from_line(line) == (student, entry)
    assert as_line(*from_line(line)) == line


def test_a_line_has_its_keys_in_order_and_none_that_do_not_apply():
    assert as_line(*from_line(json.dumps(ANSWER))) == (
        '{"id":"01890a5d-ac96-774b-bcce-b302099a8057","student":"Ann Lee","what":"answer","day":"2026-03-01",'
        '"at":"2026-03-01T20:15:30.250Z","zone":"Europe/London","question":"tailwheel/raise-tail-swing",'
        '"variant":"9f86d081","kind":"choice","revision":"60303ae2","aircraft":"quillon","phraseology":"uk",'
        '"seed":6671950473981412,"given":"b","confidence":"sure","hinted":false,"score":1.0,"right":true,'
        '"marked_by":"program","seconds":9.5}'
    )
    assert as_line(*from_line(json.dumps(VOID))) == (
        '{"id":"01890a5d-ac96-774b-bcce-b302099a8057","student":"Ann Lee","what":"void","day":"2026-03-01",'
        '"at":"2026-03-01T20:15:30.250Z","zone":"Europe/London","voids":"01890a5d-ac97-7000-8000-000000000001"}'
    )


def test_the_keys_are_those_of_the_published_format():
    published = (
        "id, student, device, number, seal, what, day, at, zone, question, variant, kind, revision, key, aircraft, "
        "phraseology, seed, given, confidence, hinted, score, right, marked_by, seconds, voids"
    )
    assert ", ".join(KEYS) == published
    assert {*KEYS} - {"student"} == {*FIELDS}


def test_a_line_reads_as_an_entry():
    student, entry = from_line(json.dumps(ANSWER))
    assert student == "Ann Lee"
    assert entry.day == date(2026, 3, 1)
    assert entry.at == datetime(2026, 3, 1, 20, 15, 30, 250_000, tzinfo=UTC).timestamp() * 1000
    assert (entry.question, entry.right, entry.voids) == ("tailwheel/raise-tail-swing", True, None)


def test_letters_of_any_language_stand_in_a_line_as_they_are():
    row = {**ANSWER, "student": "Zoë Łoś", "given": "le palonnier à droite ✈"}
    line = as_line(*from_line(json.dumps(row)))
    assert "Zoë Łoś" in line
    assert "à droite ✈" in line


@pytest.mark.parametrize("at", ["2026-03-01T21:15:30.250999+01:00", "20260301T201530.250Z", "2026-03-01 20:15:30.25Z"])
def test_a_line_written_otherwise_gives_the_same_canonical_line(at):
    written = json.dumps({key: at if key == "at" else ANSWER[key] for key in sorted(ANSWER)}, indent=1)
    assert as_line(*from_line(written)) == as_line(*from_line(json.dumps(ANSWER)))


@pytest.mark.parametrize("key", ["aircraft", "phraseology", "hinted", "marked_by"])
def test_an_answer_may_leave_out_what_need_not_apply(key):
    _, entry = from_line(json.dumps({name: value for name, value in ANSWER.items() if name != key}))
    assert getattr(entry, key) is None


def refusal(line):
    with pytest.raises(ValueError) as caught:
        from_line(line)
    assert type(caught.value) is ValueError
    return str(caught.value)


@pytest.mark.parametrize(
    "line",
    ["", " ", "{", "id", "{'id': 1}", '{"id": 1,}', "\ufeff{}", "[" * 100_000, '{"seed": ' + "1" * 5_000 + "}"],
    ids=lambda line: line[:12],
)
def test_what_is_not_json_is_refused_as_such(line):
    assert refusal(line) == "it is not JSON"


@pytest.mark.parametrize("line", ["null", "1", "NaN", '"{}"', "[]", "[{}]"])
def test_json_that_is_no_object_is_refused_as_such(line):
    assert refusal(line) == "it is not a JSON object"


def test_an_unknown_key_is_named():
    assert refusal(json.dumps({**ANSWER, "weight": 1})) == "the key 'weight' is not known"
    assert refusal(json.dumps({**ANSWER, "Id": ID})) == "the key 'Id' is not known"


@pytest.mark.parametrize("key", ["id", "student", "what", "day", "at", "zone"])
@pytest.mark.parametrize("what", ROWS)
def test_a_key_that_every_entry_has_is_named_when_it_is_missing(what, key):
    row = {name: value for name, value in ROWS[what].items() if name != key}
    assert refusal(json.dumps(row)) == f"the key '{key}' is missing"


@pytest.mark.parametrize(("what", "key"), [(what, key) for what, keys in NEEDED.items() for key in keys])
def test_a_key_that_such_an_entry_needs_is_named_when_it_is_missing(what, key):
    row = {name: value for name, value in ROWS[what].items() if name != key}
    assert refusal(json.dumps(row)) == f"an entry '{what}' needs the key '{key}'"


@pytest.mark.parametrize("what", sorted({*ROWS} - {"void"}))
def test_only_a_void_voids(what):
    row = {**ROWS[what], "voids": OTHER_ID}
    assert refusal(json.dumps(row)) == "the key 'voids' belongs to an entry 'void' only"


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS)
def test_whatever_is_there_can_be_sealed_and_has_a_canonical_line_without_the_seal(row):
    student, entry = from_line(json.dumps({**row, **SEALED}))
    assert as_line(student, entry) != canonical(entry, student) == as_line(*from_line(json.dumps(row)))
    assert entry == from_line(json.dumps(row))[1]
    assert "student" not in canonical(entry)


@pytest.mark.parametrize("key", SEALED)
def test_a_seal_stands_whole_or_not_at_all(key):
    message = "the keys 'device', 'number' and 'seal' stand together or not at all"
    assert refusal(json.dumps({**ANSWER, key: SEALED[key]})) == message


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({}, ""),
        ({"day": "2026-03-02"}, ""),
        ({"day": "2026-02-28"}, ""),
        ({"day": "2026-03-03"}, "it is dated 2026-03-03, at a moment of 2026-03-01"),
        ({"zone": "Mars"}, "there is no time zone 'Mars' then"),
        ({"zone": "\x1b[31m"}, "there is no time zone '\\x1b[31m' then"),
        ({"at": "9999-12-31T23:59:59Z", "zone": "+14:00"}, "there is no time zone '+14:00' then"),
        ({"question": "tailwheel"}, "its question does not read course/question"),
        ({"question": "a/b/c"}, "its question does not read course/question"),
        ({"question": "a/ b"}, "its question does not read course/question"),
    ],
)
def test_an_entry_that_contradicts_itself_is_unlawful(changes, says):
    _, entry = from_line(json.dumps({**ANSWER, **changes}))
    assert unlawful(entry) == says


@pytest.mark.parametrize("at", ["2026-03-01T20:15:30", "2026-03-01", "20260301"])
def test_a_moment_without_a_zone_is_refused(at):
    assert refusal(json.dumps({**ANSWER, "at": at})) == "the value of 'at' does not say its zone"


WRONG_VALUES = {
    "id": ["", "1", ID.upper(), ID.replace("-", ""), "{" + ID + "}", "01890a5d-ac96-474b-bcce-b302099a8057"],
    "student": ["", "x" * 81, "a\0b", " ", "Ann ", "Ann\x1b[2J"],
    "what": ["", "Answer", "undo", ["answer"], {"answer": 1}],
    "day": ["", "2026-02-30", "2026-3-1", "1969-12-31", "٢٠٢٦-٠٣-٠١", "2026-03-01 ", "2026-03-01T00:00", 20513],
    "at": ["", "yesterday", "2026-13-01T00:00Z", "1969-12-31T23:59:59Z", 1772396130250],
    "zone": ["", "x" * 65, "a\0b"],
    "question": ["", "x" * 201, "a\0b"],
    "variant": ["x" * 65, "a\0b"],
    "kind": ["", "x" * 21],
    "revision": ["", "x" * 65],
    "aircraft": ["", "x" * 81],
    "phraseology": ["", "x" * 21],
    "seed": [-1, 2**53, 1.0, True, "1", float("nan")],
    "given": ["x" * (LONGEST + 1), "a\0b", 1],
    "confidence": ["", "certain", "SURE", ["sure"]],
    "hinted": [0, 1, "no"],
    "score": [-0.1, 1.1, True, "1", float("nan"), float("inf"), 10**400],
    "right": [0, 1, "yes"],
    "marked_by": ["", "me"],
    "seconds": [-1, 1e7 + 1, True, "9", float("nan"), float("inf")],
    "key": ["", "x" * 65, 1],
    "device": ["", "1", ID.upper(), 1],
    "number": [0, -1, 2**31, 1.0, True, "1"],
    "seal": ["", "0" * 63, "0" * 65, "g" * 64, "A" * 64, 1],
}


@pytest.mark.parametrize(("key", "value"), [(key, each) for key in WRONG_VALUES for each in (*WRONG_VALUES[key], None)])
def test_a_value_that_its_key_cannot_have_is_refused_by_its_key(key, value):
    assert refusal(json.dumps({**ANSWER, **SEALED, key: value})) == f"the value of '{key}' is not one it can have"


@pytest.mark.parametrize("value", ["", "missing", ID.upper(), 1, None])
def test_what_a_void_voids_is_an_id(value):
    assert refusal(json.dumps({**VOID, "voids": value})) == "the value of 'voids' is not one it can have"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("given", "\ud800"),  # no text file can hold it
        ("student", "\udfff"),
        ("at", "9999-12-31T23:59:59-01:00"),  # in UTC the year 10000
        ("at", "9999-12-31T23:00:00-01:00"),
        ("at", "1970-01-01T00:00:00+14:00"),  # before 1970, in UTC
    ],
)
def test_a_value_that_could_not_be_written_again_is_refused(key, value):
    assert f"'{key}'" in refusal(json.dumps({**ANSWER, key: value}))


@pytest.mark.parametrize("at", ["1970-01-01T00:00:00.000Z", "2300-01-01T00:00:00.001Z", "9999-12-31T23:59:59.999Z"])
def test_a_moment_keeps_its_milliseconds_through_all_years_there_are(at):
    line = as_line(*from_line(json.dumps({**ANSWER, "at": at})))
    assert json.loads(line)["at"] == at


@pytest.mark.parametrize("key", ["a\nb", "\x1b[2J", "\u2028", "\u202e", "x" * 1_000])
def test_an_unknown_key_is_named_in_one_short_printable_line(key):
    message = refusal(json.dumps({**ANSWER, key: 1}))
    assert message.isprintable()
    assert len(message) < 200


def is_refused_or_kept(line):
    try:
        student, entry = from_line(line)
    except ValueError as error:
        message = str(error)
        return type(error) is ValueError and 0 < len(message) < 200 and message.isprintable()
    written = as_line(student, entry)
    return from_line(written.encode().decode()) == (student, entry)


any_text = st.text(st.characters() | st.sampled_from("\0\n\x1b\u2028\ud800"), max_size=12)
any_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | any_text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(any_text | st.sampled_from(KEYS), inner, max_size=4),
    max_leaves=8,
)
offsets = st.integers(-1439, 1439).map(lambda minutes: timezone(timedelta(minutes=minutes)))
near_values = (
    st.datetimes(timezones=st.none() | offsets).map(datetime.isoformat)
    | st.dates().map(date.isoformat)
    | st.sampled_from((*ROWS, *CONFIDENCES, ID))
    | st.integers(0, 2**53)
    | st.floats(0, 1)
)
changes = st.dictionaries(st.sampled_from(KEYS), near_values | any_json, max_size=3)


@given(st.text() | st.binary().map(lambda raw: raw.decode("latin-1")) | any_json.map(json.dumps))
def test_any_text_is_refused_in_one_sentence(line):
    assert is_refused_or_kept(line)


@given(st.sampled_from((ANSWER, VOID, FLOWN)), changes, st.sets(st.sampled_from(KEYS), max_size=1))
def test_a_line_that_is_nearly_right_is_refused_in_one_sentence_or_kept_as_it_is(row, changed, left_out):
    changed_row = {key: value for key, value in {**row, **changed}.items() if key not in left_out}
    assert is_refused_or_kept(json.dumps(changed_row))
