"""What checking a large course costs over parsing its Markdown alone, as a ratio of the same run.

The course has 40 decks and 2,000 questions, made of those that ship; 400 of them draw their values.
"""

import re
from itertools import cycle
from statistics import median
from time import process_time

import pytest
from markdown_it import MarkdownIt

import worlds
from stickback.course import prove
from stickback.services import folder

RUNS, DECKS, QUESTIONS, ONE_IN = 3, 40, 50, 5
MOST = {"file": 1.7, "whole": 9.0}  # measured 1.1 and 6.0; of those drawn three in four are on the radio
_BRACES = re.compile(r"\s*\{#([\w-]+)([^}]*)\}\s*$")
_ELSEWHERE = re.compile(r" (?:topic|then)=\S+")

pytestmark = pytest.mark.bench


def text(question, number, lines):
    """A question under another id, with its topic and without what follows from it."""
    head, *rest = lines[question.line - 1 : question.end]
    match = _BRACES.search(head)
    assert match
    braces = f"{{#{match[1]}-{number} topic={question.topic}{_ELSEWHERE.sub('', match[2])}}}"
    return "\n".join([f"{_BRACES.sub('', head)} {braces}", *(line for line in rest if not line.startswith("[^"))])


@pytest.fixture(scope="module")
def large(tmp_path_factory):
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
    return worlds.write(tmp_path_factory.mktemp("course") / "large", made)


def seconds(work):
    start = process_time()
    work()
    return process_time() - start


@pytest.mark.parametrize("what", MOST)
def test_checking_a_large_course_or_one_file_of_it_takes_a_few_times_parsing_it(what, large, capsys):
    parser = MarkdownIt("commonmark").enable("table")
    changed = {"deck-07.md"} if what == "file" else None
    texts = [path.read_text(encoding="utf-8") for path in folder.texts(large)]
    taught = folder.load(large, 0)
    assert (len(taught.questions), taught.problems) == (DECKS * QUESTIONS, ())
    check, parse = zip(
        *(
            (
                seconds(lambda: folder.load(large, prove.MANY, changed)),
                seconds(lambda: [parser.parse(text) for text in texts]),
            )
            for _ in range(RUNS)
        ),
        strict=True,
    )
    with capsys.disabled():
        print(f"\n{what}: {median(check):.2f} s of processor time, {median(check) / median(parse):.1f} times parsing")
    assert median(check) <= MOST[what] * median(parse)
