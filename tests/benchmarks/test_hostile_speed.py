"""Reading a hostile deck costs time in proportion to its size, whatever it is made of."""

from statistics import median
from time import process_time

import pytest

from stickback.course import read as courses

ASKED = "## Way? {#q topic=yaw-causes}\n\n"
ENOUGH = 0.25  # seconds below which a ratio says nothing: one look for garbage may double them


def hostile(size):
    """Decks that go wrong in many ways at once; `size` is the share of the largest that is still read."""
    return {
        "pictures": "![" * int(90_000 * size),
        "pictures by line": "![\n" * int(39_000 * size),
        "footnotes": "[^" * int(90_000 * size),
        "ticks": "`" * int(900_000 * size),
        "runs of ticks": " ".join("`" * n for n in range(1, int(1300 * size))),
        "braces in a heading": "## " + "{{" * int(90_000 * size),
        "single braces in a heading": "## " + "{#a " * int(220_000 * size),
        "attributes": "## A {#q " + " ".join(f"a{n}=b" for n in range(int(90_000 * size))) + "}",
        "options that are the same": ASKED + "- [x] a\n- [ ] b\n" * int(19_000 * size),
        "options that differ": ASKED + "".join(f"- [ ] a{n}\n" for n in range(int(39_000 * size))),
        "lists of options": ASKED + "- [x] a\n\nb\n\n" * int(9_000 * size),
        "a box that is never closed": ASKED + "- [" + " " * int(900_000 * size),
        "fences": ASKED + "```\na\n```\n" * int(13_000 * size),
        "definitions": "".join(f"[^{n}]: a\n" for n in range(int(39_000 * size))),
        "items": "- a\n" * int(39_000 * size),
        "values": "".join(
            f"## A {{#q{n} topic=yaw-causes}}\n- [x] {'{{swing}}' * 40}\n- [ ] b\n" for n in range(int(2000 * size))
        ),
        "unknown values": ASKED + "".join(f"{{{{ a{n} }}}}" for n in range(int(60_000 * size))),
        "unknown topics": "".join(f"## A {{#q{n} topic=yaw{n}}}\n- [x] a\n- [ ] b\n" for n in range(int(2000 * size))),
        "questions with a mistake": "".join(
            f"{ASKED.replace('#q', f'#q{n}')}- [x] a\n- [ ] {{{{ A }}}}\n" for n in range(int(2000 * size))
        ),
        "sections in a line": ASKED + "Why: a\n\n" * int(15_000 * size),
        "points that are nearly a must": ASKED + "### Answer\n\n" + "- must - a\n" * int(30_000 * size),
        "definitions that run on": ASKED + "[^a]: b\n  [^b] c\n" * int(15_000 * size),
        "pictures above a stick": ASKED
        + "```figure\nscene: stick\nquarter: left\n```\n\n" * int(4_000 * size)
        + "### Answer\n\n```stick\nquarter: right\nstrength: light\n```\n",
        "columns": "|a" * int(90_000 * size) + "|\n" + "|-" * int(90_000 * size) + "|\n",
        "keys": "---\n" + "".join(f"a{n}: b\n" for n in range(int(2000 * size))) + "---\n",
        "brackets in front matter": "---\n" + "[" * int(900_000 * size) + "\n---\n",
        "aliases": "---\na: &a x\nb: [" + "*a," * int(6_000 * size) + "]\n---\n",
    }


def seconds(text):
    """What reading a deck costs; the median of three runs."""
    taken = []
    for _ in range(3):
        start = process_time()
        courses.read([("deck.md", text.encode())])
        taken.append(process_time() - start)
    return median(taken)


@pytest.mark.bench
@pytest.mark.parametrize("name", hostile(0.01))
def test_twice_as_much_takes_about_twice_as_long(name):
    whole, half = seconds(hostile(1)[name]), seconds(hostile(0.5)[name])
    print(f"\n{name}: {whole:.2f} s, half of it {half:.2f} s")
    assert whole < ENOUGH or whole <= 3 * half
