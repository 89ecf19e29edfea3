"""What drawing, showing and marking a question costs, kind by kind, over reading the same question's Markdown.

A question's text is parsed by the Markdown library in the same run: what a person waits for on every asking may cost a
few such readings and no more.
"""

from statistics import median
from time import perf_counter

import pytest

from stickback.course import asking
from stickback.course.course import applies
from stickback.reading import markup
from stickback.services import folder

RUNS, MOST = 7, 8.0
COURSE = folder.load(folder.shipped())

pytestmark = pytest.mark.bench


def seconds(work):
    """Of one call, the median of a few."""
    found = []
    for _ in range(RUNS):
        begun = perf_counter()
        work()
        found.append(perf_counter() - begun)
    return median(found)


def timed(question, sheet):
    """Seconds of drawing, showing and marking a question, and of reading its text."""
    body, values = question.body, asking.values(question, 1, sheet)
    said = body.simulate(1, values, right=True)
    text = "\n\n".join([question.title, *body.texts(), *(block.text for block in question.prompt)])
    return (
        seconds(lambda: asking.values(question, 1, sheet)),
        seconds(lambda: body.show(1, values)),
        seconds(lambda: body.mark(1, said, values)),
        seconds(lambda: [markup.blocks(text), markup.inline(text)]),
    )


@pytest.mark.parametrize("kind", sorted({question.kind for question in COURSE.questions.values()}))
def test_an_asking_costs_a_few_readings_of_its_text(kind):
    asked = [
        (question, sheet)
        for question in COURSE.questions.values()
        for sheet in COURSE.sheets.values()
        if question.kind == kind and applies(question, {**sheet.values, **question.only})
    ]
    draw, show, mark, read = zip(*(timed(*each) for each in asked), strict=True)
    told = [
        f"{name} {median(each) * 1e3:.3f} (most {max(each) * 1e3:.3f})"
        for name, each in (("draw", draw), ("show", show), ("mark", mark))
    ]
    print(f"\n{kind}: {', '.join(told)} ms; reading {median(read) * 1e3:.3f} ms")
    assert max(map(median, (draw, show, mark))) <= MOST * median(read)


RUNS_OF = (" ", "\u2003", "a ", "24 ", "-", ", ", "zero ", "(", "é")
SHORT, LONG = 2_250, 9_000  # characters: the longest answer that is stored has ten thousand
LITTLE = 0.05  # seconds below which a ratio says nothing


@pytest.mark.parametrize("run", RUNS_OF)
@pytest.mark.parametrize("kind", sorted({question.kind for question in COURSE.questions.values()}))
def test_a_long_run_in_an_answer_costs_no_more_than_its_length(kind, run):
    sheet = next(iter(COURSE.sheets.values()))
    question = next(each for each in COURSE.questions.values() if each.kind == kind)
    values = asking.values(question, 1, sheet)

    def marked(length):
        said = f"runway {run * (length // len(run))} x"
        return seconds(lambda: (question.body.understand(said, values), question.body.judge(1, said, values)))

    assert marked(LONG) <= max(LITTLE, 2 * LONG / SHORT * marked(SHORT))
