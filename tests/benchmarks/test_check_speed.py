"""What checking a large course costs over parsing its Markdown alone, as a ratio of the same run.

The course has 40 decks and 2,000 questions, made of those that ship; 400 of them draw their values.
"""

import re
import subprocess
import sys
from itertools import cycle
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median
from time import process_time

import pytest
from markdown_it import MarkdownIt

import worlds
from stickback.services import folder

RUNS, DECKS, QUESTIONS, ONE_IN = 3, 40, 50, 5
MOST = {"file": 1.5, "whole": 7.5}  # times parsing, which is 0.6 s: 0.9 and 4.5 s beside the imports
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
        kinds[bool(question.draws.defines)].append(question)
    drawn, plain = cycle(kinds[True]), cycle(kinds[False])
    made = {path.relative_to(place).as_posix(): path.read_bytes() for path in folder.paths(place)}
    made = {name: raw for name, raw in made.items() if name not in lines}
    made["lesson-plan.md"] = re.sub(rb"(?m)^begin.*\n", b"", made["lesson-plan.md"])
    for deck in range(DECKS):
        asked = [next(plain if at % ONE_IN else drawn) for at in range(QUESTIONS)]
        texts = [text(each, deck * QUESTIONS + at, lines[each.file]) for at, each in enumerate(asked)]
        made[f"deck-{deck:02}.md"] = ("---\ntitle: Part\n---\n\n" + "\n\n".join(texts) + "\n").encode()
    return worlds.write(tmp_path_factory.mktemp("course") / "large", made)


@pytest.fixture(scope="module")
def imports(large, tmp_path_factory):
    """A program that imports what checking that course does, and nothing more."""
    code = "import sys\nfrom stickback.cli.main import main\ntry: main()\nexcept SystemExit: print(*sys.modules)"
    told = subprocess.run([sys.executable, "-c", code, "check", str(large)], capture_output=True, text=True, check=True)
    names = told.stdout.splitlines()[-1].split()
    assert {"markdown_it", "stickback.course.prove"} <= set(names)
    program = tmp_path_factory.mktemp("imports") / "imports.py"
    lines = [f"with suppress(ImportError): __import__({name!r})" for name in names if name != "__main__"]
    program.write_text("\n".join(["from contextlib import suppress", *lines]))
    return [sys.executable, str(program)]


def seconds(command):
    """Of the processor, which others at work beside it hardly change."""
    before = getrusage(RUSAGE_CHILDREN)
    subprocess.run(command, capture_output=True, check=True)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def parsing(large):
    parser = MarkdownIt("commonmark").enable("table")
    texts = [path.read_text(encoding="utf-8") for path in folder.paths(large)]
    start = process_time()
    for text in texts:
        parser.parse(text)
    return process_time() - start


@pytest.mark.parametrize("what", MOST)
def test_checking_a_large_course_or_one_file_of_it_takes_a_few_times_parsing_it(what, large, imports, capsys):
    taught = folder.load(large, 0)
    assert (len(taught.questions), taught.problems) == (DECKS * QUESTIONS, ())
    path = large / "deck-07.md" if what == "file" else large
    command = [sys.executable, "-c", "from stickback.cli.main import main; main()", "check", str(path)]
    runs = [(seconds(command), seconds(imports), parsing(large)) for _ in range(RUNS)]
    beside = median(every - only for every, only, _ in runs)
    importing, parsed = median(only for _, only, _ in runs), median(parse for _, _, parse in runs)
    with capsys.disabled():
        print(f"\n{what}: {beside:.2f} s of processor time beside {importing:.2f} s of imports,", end=" ")
        print(f"{beside / parsed:.2f} times parsing, which takes {parsed:.2f} s")
    assert beside <= MOST[what] * parsed
