"""What checking a large course costs over parsing its Markdown alone, as a ratio of the same run.

The course has 40 decks and 2,000 questions, made of those that ship; 400 of them draw their values.
"""

import re
from itertools import cycle
from statistics import median
from time import process_time

import pytest
from markdown_it import MarkdownIt

from stickback.course import prove
from stickback.course import read as courses
from stickback.services import folder

RUNS, DECKS, QUESTIONS, ONE_IN = 3, 40, 50, 5
MOST = {"file": 2.5, "whole": 14.0}  # measured 1.8 and 10.2; of those drawn three in four are on the radio
_BRACES = re.compile(r"\s*\{#([\w-]+)([^}]*)\}\s*$")
_ELSEWHERE = re.compile(r" (?:topic|then)=\S+")

pytestmark = pytest.mark.bench


def text(question, number, lines):
    """A question under another id, with its topic and without what follows from it."""
    head, *rest = lines[question.line - 1 : question.end]
    name, more = _BRACES.search(head).groups()
    braces = f"{{#{name}-{number} topic={question.topic}{_ELSEWHERE.sub('', more)}}}"
    return "\n".join([f"{_BRACES.sub('', head)} {braces}", *(line for line in rest if not line.startswith("[^"))])


@pytest.fixture(scope="module")
def files():
    place = folder.shipped()
    shipped = folder.load(place, 0)
    lines = {deck.file: (place / deck.file).read_text(encoding="utf-8").split("\n") for deck in shipped.decks}
    kinds = {True: [], False: []}
    for question in shipped.questions.values():
        kinds[bool(question.given.defines)].append(question)
    drawn, plain = cycle(kinds[True]), cycle(kinds[False])
    made = {path.relative_to(place).as_posix(): path.read_bytes() for path in folder.texts(place)}
    made = {name: raw for name, raw in made.items() if name not in lines}
    made["lesson-plan.md"] = re.sub(rb"(?m)^begin.*\n", b"", made["lesson-plan.md"])
    for deck in range(DECKS):
        asked = [next(plain if at % ONE_IN else drawn) for at in range(QUESTIONS)]
        texts = [text(each, deck * QUESTIONS + at, lines[each.file]) for at, each in enumerate(asked)]
        made[f"deck-{deck:02}.md"] = ("---\ntitle: Part\n---\n\n" + "\n\n".join(texts) + "\n").encode()
    return made


def seconds(work):
    start = process_time()
    work()
    return process_time() - start


@pytest.mark.parametrize("what", MOST)
def test_checking_a_large_course_or_one_file_of_it_takes_a_few_times_parsing_it(what, files, capsys):
    parser = MarkdownIt("commonmark").enable("table")
    changed = {"deck-07.md"} if what == "file" else None
    taught = courses.read(files.items(), (), 0)
    assert (len(taught.questions), taught.problems) == (DECKS * QUESTIONS, ())
    check, parse = zip(
        *(
            (
                seconds(lambda: courses.read(files.items(), (), prove.MANY, changed)),
                seconds(lambda: [parser.parse(raw.decode()) for raw in files.values()]),
            )
            for _ in range(RUNS)
        ),
        strict=True,
    )
    with capsys.disabled():
        print(f"\n{what}: {median(check):.2f} s of processor time, {median(check) / median(parse):.1f} times parsing")
    assert median(check) <= MOST[what] * median(parse)
