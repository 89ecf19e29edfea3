"""Exported files that were spoilt, databases that were tampered with, and many files in many orders."""

import json
import random
import re
from collections import Counter
from pathlib import Path

import pytest

import worlds
from engines import Engine
from stickback.memory import entry as entries
from stickback.store import chain, log
from stickback.store.engine import Database
from worlds import Place

MUTATIONS, TAMPERINGS, FILES, ORDERS = 2000, 200, 50, 20
DEEP = "[" * 3000
NASTY = (
    *(None, True, False, -1, 0, 1, 2, 0.5, 1e308, float("inf"), float("nan"), 2**53, 2**63, 10**400),
    *("", " ", "x", "x" * 11_000, " " * 9_000, "a\0b", "\ud800", "\u202e\x1b[31m\x07", "=1+1", "../../x", "''--"),
    *("2026-02-30", "9999-12-31", "0001-01-01", "2026-06-01T25:00:00Z", "Mars", "small/feet", "void", "answer", "me"),
    *([], {}, [[]], {"a": 1}),
)


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The lines of a log with everything that a log can hold."""
    place = worlds.begun(tmp_path_factory.mktemp("written"))
    place = place.settled(place.db.with_name("more.db"))
    place.does("student", "set", "me", "--checkride", "2026-06-20", "--minutes", 20)
    place.does("note", "feet", "Heels on the floor")
    place("review", "--questions", 3, typed=b"flag the tail is in the way\na sure\na think\nthink\n1\na b g\n" * 9)
    place.does("exam", "--by", "Ina Vesper", "--questions", 3, typed="all\nright\n" * 9)
    place.does("undo")
    lines = place.does("log", "export").splitlines()
    assert {json.loads(each)["what"] for each in lines} == set(entries._NEEDED)
    return lines


class Doors:
    """Databases of one engine for files to be taken into; one is used until something is in it."""

    def __init__(self, kind: Engine, folder: Path, course: Path) -> None:
        self.kind, self.folder, self.number = kind, folder, 0
        self.place = Place(course, folder / "unused.db")
        self.store = self.fresh()

    def fresh(self) -> Database:
        self.number += 1
        store = self.kind.empty(self.folder, f"door-{self.number}")
        chain.renew(store)
        return store

    def run(self, store: Database, *words: object, typed: object = None):
        """A command at a database; whatever comes of it, a sentence and no traceback."""
        result = self.place(*words, typed=typed, db=store.dialect.url)
        assert isinstance(result.exception, SystemExit | None), result.exc_info
        assert "Traceback" not in result.output
        assert "\x1b" not in result.output
        return result


@pytest.fixture
def doors(kind, tmp_path, course):
    return Doors(kind, tmp_path, course)


# Spoilt files


def of_bytes(raw: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(raw))
    what = chance.randrange(4)
    if what == 0:
        return raw[:at] + bytes([raw[at] ^ 1 << chance.randrange(8)]) + raw[at + 1 :]
    if what == 1:
        return raw[:at] + chance.randbytes(chance.randint(1, 4)) + raw[at:]
    return raw[:at] + raw[at + chance.randint(1, 40) :] if what == 2 else raw[:at]


def of_lines(lines: list[str], chance: random.Random) -> list[str]:
    lines, at, other = [*lines], chance.randrange(len(lines)), chance.randrange(len(lines))
    what = chance.randrange(5)
    if what == 0:
        del lines[at]
    elif what == 1:
        lines.insert(other, lines[at])
    elif what == 2:
        chance.shuffle(lines)
    elif what == 3:
        lines[at] = lines[at] + lines[other]
    else:
        lines.insert(at, chance.choice(["", "\r", "{}", "null", DEEP, '{"a":' * 2000]))
    return lines


def of_values(lines: list[str], chance: random.Random) -> list[str]:
    """Another value in a line, which is often written as if it had never been sealed."""
    lines, at = [*lines], chance.randrange(len(lines))
    row, other = json.loads(lines[at]), json.loads(chance.choice(lines))
    if not (isinstance(row, dict) and isinstance(other, dict)):
        return lines  # was spoilt before
    if chance.random() < 0.7:
        row = {key: value for key, value in row.items() if key not in entries.SEAL}
    key, what = chance.choice(entries.KEYS), chance.randrange(5)
    if what == 0:
        row.pop(key, None)
    elif what in {1, 2}:
        row[key] = chance.choice(NASTY)
    elif what == 3 and key in other:
        row[key] = other[key]
    else:
        row = {**row, "seconds": chance.choice([0, 1.5, 86_400]), "at": chance.choice([row.get("at"), other.get("at")])}
    lines[at] = json.dumps(row)
    return lines


def mutated(lines: list[str], chance: random.Random) -> bytes:
    """A file with one to three things wrong with it, or none that matters."""
    lines = chance.sample(lines, chance.randint(1, len(lines)))
    if chance.random() < 0.3:
        lines = [entries.canonical(entry, name) for name, entry in map(entries.from_line, lines)]
    for _ in range(chance.randint(1, 3)):
        try:
            lines = chance.choice([of_lines, of_values, of_values])(lines, chance) or ["{}"]
        except (ValueError, RecursionError):  # what was spoilt before is no JSON any more
            break
    raw = "\n".join(lines).encode("utf-8", "surrogatepass")
    return of_bytes(raw, chance) if raw and chance.random() < 0.25 else raw


def spoilt(doors: Doors, written: list[str], chance: random.Random, many: int) -> Counter[str]:
    """Takes spoilt files in: what is accepted verifies and is exported again, the rest is refused in a sentence."""
    found = Counter[str](files=many)
    file = doors.folder / "coming.jsonl"
    for _ in range(many):
        raw = mutated(written, chance)
        file.write_bytes(raw)
        result = doors.run(doors.store, "log", "import", file)
        there = [*log.lines(doors.store)]
        if result.exit_code:
            found["refused"] += 1
            conflict = "One entry, two contents" in result.stderr
            if not conflict:
                assert worlds.sentence(result), raw
                assert there == [], raw
        if there:
            found["taken"] += 1
            verified = doors.run(doors.store, "log", "verify")
            assert verified.exit_code == 0, (raw, verified.output)
            again = doors.fresh()
            back = doors.run(again, "log", "import", "-", typed=doors.run(doors.store, "log", "export").stdout)
            assert back.exit_code == 0, (raw, back.output)
            assert [*log.lines(again)] == there, raw
            doors.store = doors.fresh()
    return found


@pytest.mark.campaign
def test_spoilt_files(doors, written, chance, many, tell):
    found = spoilt(doors, written, chance, many(MUTATIONS))
    tell(**found, not_verified=0, tracebacks=0, escapes=0)
    assert found["taken"] > found["files"] / 20
    assert found["refused"] > found["files"] / 4


def test_a_spoilt_file_is_refused_in_a_sentence_or_verifies(files, tmp_path, course, written, chance):
    """Some of the campaign."""
    found = spoilt(Doors(files, tmp_path, course), written, chance, 12)
    assert min(found["taken"], found["refused"]) > 0


# Tampered databases

ANOTHER = "substr(id, 1, 35) || CASE WHEN substr(id, 36) = '0' THEN '1' ELSE '0' END"  # an id like it
KINDS: dict[str, str] = {
    **{
        f"{name} changed": f"UPDATE entries SET {name} = {value} WHERE {{one}}"
        for name, value in {
            "given": "given || 'x'",
            '"right"': 'NOT coalesce("right", false)',
            "score": "CASE WHEN coalesce(score, 0) < 0.5 THEN coalesce(score, 0) + 0.5 ELSE score - 0.5 END",
            "confidence": "'unsure'",
            "hinted": "NOT coalesce(hinted, false)",
            "seconds": "coalesce(seconds, 0) + 1",
            "question": "coalesce(question, 'small/feet') || 'x'",
            "variant": "coalesce(variant, '') || 'x'",
            "revision": "coalesce(revision, '') || 'x'",
            "seed": "coalesce(seed, 0) + 1",
            "kind": "'stick'",
            "day": "day + 1",
            "at": "at + 1",
            "zone": "'UTC+x'",
            "aircraft": "coalesce(aircraft, '') || 'x'",
            "marked_by": "CASE WHEN marked_by = 'instructor' THEN 'self' ELSE 'instructor' END",
            "number": "number + 50",
            "seal": "seal || '0'",
            "device": "device || '0'",
            "id": ANOTHER,
        }.items()
    },
    "deleted": "DELETE FROM entries WHERE {one}",
    "given to another": "UPDATE entries SET student = (SELECT min(key) FROM students WHERE name != 'me') WHERE {one}",
    "copied": "INSERT INTO entries ({columns}) SELECT {copied} FROM entries WHERE {one}",
    "counter moved": "UPDATE students SET entries = entries + 1 WHERE name = 'me'",
    "settings behind the log": "UPDATE students SET minutes = minutes + 1 WHERE name = 'me'",
    "another installation": "INSERT INTO installations (school, id) VALUES (1, 'x')",
}


def tampered(doors: Doors, written: list[str], chance: random.Random, many: int) -> Counter[str]:
    """Changes copies of a log, one thing each, and counts by kind what `log verify` does not name."""
    bare = "\n".join(entries.canonical(entry, name) for name, entry in map(entries.from_line, written))
    assert doors.run(doors.store, "log", "import", "-", typed=bare).exit_code == 0
    assert doors.run(doors.store, "log", "verify").exit_code == 0
    ids = [entry.id for name, entry in log.entries_of(doors.store) if name == "me"]
    columns = [each["name"] for each in _columns(doors.store)]
    found = Counter[str](tamperings=0, named=0)
    for number in range(many):
        name, statement = list(KINDS.items())[number % len(KINDS)]
        store = doors.kind.copy(doors.store, doors.folder, f"tampered-{number}")
        one = f"id = '{chance.choice(ids)}' AND student = (SELECT key FROM students WHERE name = 'me')"
        named = ", ".join(f'"{each}"' for each in columns)
        copied = ", ".join(ANOTHER if each == "id" else f'"{each}"' for each in columns)
        with store.writing() as connection:
            store.dialect.remove(connection)
            connection.exec_driver_sql(statement.format(one=one, copied=copied, columns=named).replace("%", "%%"))
            store.dialect.install(connection)
        result = doors.run(store, "log", "verify")
        named = result.exit_code == 1 and ("WRONG" in result.stdout or "is damaged" in result.stderr)
        found["tamperings"] += 1
        found["named"] += named
        found[f"not named: {name}"] += not named
    return +found


def _columns(store: Database):
    import sqlalchemy as sa

    with store.reading() as connection:
        return sa.inspect(connection).get_columns("entries")


@pytest.mark.campaign
def test_tamperings(doors, written, chance, many, tell):
    found = tampered(doors, written, chance, max(many(TAMPERINGS), len(KINDS)))
    tell(kinds=len(KINDS), **found)
    assert found["named"] == found["tamperings"]


# Many files, many orders


def parts(written: list[str], chance: random.Random, many: int, changed: int) -> tuple[list[bytes], set[str]]:
    """Files of some lines each, together all of them; and the ids of those lines that stand in two contents."""
    bare = [entries.canonical(entry, name) for name, entry in map(entries.from_line, written)]
    found = [chance.sample(bare, len(bare) // 3) for _ in range(many - 1)]
    named = next(line for line in bare if '"student":"me"' not in line)
    found = [each if any('"student":"me"' not in line for line in each) else [*each, named] for each in found]
    found.append(bare)  # a file that names nobody but `me` would be asked whose it is
    double = chance.sample([line for line in bare if '"what":"answer"' in line], changed)
    for line in double:
        chance.choice(found[:-1]).append(json.dumps({**json.loads(line), "seconds": 77.0}))
    for each in found:
        chance.shuffle(each)
    return ["\n".join(each).encode() for each in found], {json.loads(line)["id"] for line in double}


def merged(
    doors: Doors, files: list[bytes], chance: random.Random, orders: int
) -> tuple[set[str], set[frozenset[str]]]:
    """The fingerprints and the lists of ids in conflict that the orders came to."""
    prints, conflicts = set(), set()
    for _ in range(orders):
        store, met = doors.fresh(), set()
        for raw in chance.sample(files, len(files)):
            result = doors.run(store, "log", "import", "-", "--new", typed=raw)
            assert "Error" not in result.stderr
            met |= set(re.findall(r'(?:here|line \d+): {"id":"([^"]+)"', result.stderr))
        prints.add(log.fingerprint(store))
        conflicts.add(frozenset(met))
        assert doors.run(store, "log", "verify").exit_code == 0
    return prints, conflicts


@pytest.mark.campaign
def test_orders(doors, written, chance, many, tell):
    files, _ = parts(written, chance, FILES, 0)
    prints, none = merged(doors, files, chance, many(ORDERS))
    files, double = parts(written, chance, FILES, 4)
    _, conflicts = merged(doors, files, chance, many(ORDERS))
    tell(files=FILES, orders=many(ORDERS), fingerprints=len(prints), lists_of_conflicts=len(conflicts))
    assert (len(prints), none) == (1, {frozenset()})
    assert conflicts == {frozenset(double)}
