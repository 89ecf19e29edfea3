"""What reading a course costs over parsing its Markdown alone, as a ratio of the same run."""

import gc
from statistics import median
from time import process_time

import pytest
from markdown_it import MarkdownIt

from stickback.course import read as courses

RUNS, MOST = 15, 2.0
DECKS, QUESTIONS = 3, 5000
TOPICS = 53
SHEET = """\
---
name: {name}
callsign: G-QTWB
propeller: {propeller}
brakes: heel
tailwheel: steerable
speed_unit: kt
approach_speed: 60
---

Invented, not for flight.
"""
CHOICE = """
## The propeller turns {{{{ propeller }}}} seen from the cockpit. Which way does the nose swing in case {n}? {{#q-{n} topic=topic-{t}}}

Look along the shaft from behind.

- [x] To the {{{{ swing }}}}, as the tail comes up
- [ ] To the {{{{ other_side }}}}, as the tail comes up
- [ ] It only pitches down, whatever the *propeller* does

### Why

Pushing on the top of the disc comes out a quarter turn later.[^book] At {{{{ approach_speed }}}} {{{{ speed_unit }}}} it is **weaker**.[^model]
"""  # noqa: E501 - a question is one line
EXPLAIN = """
## Talk through the swing of this aeroplane in case {n}, with the foot for each part. {{#q-{n} topic=topic-{t}}}

### Answer

- **Tail rising: gyroscopic action takes the nose {{{{ tail_up_yaw }}}} while it lasts.**
- Faster with the tail low: P-factor grows while the slipstream fades.
- The foot is the {{{{ rudder_foot }}}} one from the start, with *more* of it while the tail rises.

### Fails if said

- All four act equally from start to finish.

### Why

The effects take turns, and the foot for each is the {{{{ rudder_foot }}}} one.[^model] Their sizes change with the phase.[^book]
"""  # noqa: E501 - a paragraph is one line

pytestmark = pytest.mark.bench


def plan():
    topics = "".join(
        f"### Topic {t} {{#topic-{t} weight={t % 3 + 1}}}\n\nThe nose goes {{{{ swing }}}}.[^book]\n\n"
        for t in range(TOPICS)
    )
    return f"---\nid: many\ntitle: Many\n---\n\n## Lesson 1: All {{#all}}\n\n{topics}"


def deck(numbers):
    texts = ((EXPLAIN if n % 3 == 2 else CHOICE).format(n=n, t=n % TOPICS) for n in numbers)
    return f"---\ntitle: Part\ntopic: topic-0\n---\n{''.join(texts)}"


@pytest.fixture(scope="module")
def files():
    made = {f"deck-{d}.md": deck(range(d, QUESTIONS, DECKS)) for d in range(DECKS)}
    made |= {"lesson-plan.md": plan(), "sources.md": "# Sources\n\n[^book]: A book.\n[^model]: Worked out.\n"}
    made |= {f"aircraft/{p}.md": SHEET.format(name=p, propeller=p) for p in ("clockwise", "anticlockwise")}
    return [(name, text.encode()) for name, text in sorted(made.items())]


def seconds(function):
    gc.collect()
    start = process_time()
    function()
    return process_time() - start


def test_reading_five_thousand_questions_takes_at_most_twice_the_time_of_parsing_their_markdown(files, capsys):
    parser = MarkdownIt("commonmark").enable("table")
    taught = courses.read(files)
    assert (len(taught.questions), taught.problems) == (QUESTIONS, ())
    del taught
    ratios = [
        seconds(lambda: courses.read(files)) / seconds(lambda: [parser.parse(raw.decode()) for _, raw in files])
        for _ in range(RUNS)
    ]
    size = sum(len(raw) for _, raw in files) / 1e6
    with capsys.disabled():
        print(f"\nreading {size:.1f} MB: {median(ratios):.2f} times parsing ({min(ratios):.2f} to {max(ratios):.2f})")
    assert median(ratios) <= MOST
