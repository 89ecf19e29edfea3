"""Texts to throw at the readers: arbitrary ones, and ones that nearly are a file of a course."""

from hypothesis import strategies as st

from stickback.course.course import PLAN, SOURCES

BODY = (
    *("# Deck", "## Question {#q}", "## Lesson {#l}", "### Topic {#t weight=2}", "### Answer", "### Why", "##No space"),
    *("## ", "## {#Bad id}", "A\nheading {#of two lines}\n---", "## Null {#a\x00 b}", "#### Errors seen", "> quote"),
    *("- {#e topics=t} Seen", "## L {#l}\n#### Errors seen\n- {#e\n  topics=t x} Seen", "- [x] Left", "- [ ] Right"),
    *("* [X] Up", "+ [ ] Down", "-[x] near", "- [ x] near", "[x] near", "1. [x] near", "- ", "  - nested", "1. one"),
    *(
        ">> ",
        "    code",
        "\ttab",
        "-\xa0[x]\xa0hard",
        "```",
        "~~~~",
        ">\xa0```",
        "``",
        "`{{ code }}`",
        "***",
        "===",
        "---",
    ),
    *("| a | b |\n| - | - |", "| {#a} | - [x] |", "{{ swing }}", "{{ unknown }}", "{{", "}}", "{", "}", "{#a", '{k="'),
    *("{#a #b k=v k=w}", "[^a]", "[^a]: A source.", " [^a]: indented", "![p](figures/p.svg)", "![](../p.svg)", "<b>"),
    *(
        "<!--",
        "**bold**",
        "Must: say",
        "\\",
        "\xa0",
        "\x00",
        "\x07",
        "\x85",
        "\u2028",
        "\u202e",
        "\ufeff",
        "\u200b",
        "\r",
    ),
)
FRONT = (
    *(
        "id: t",
        "id: A b",
        "title: T",
        "topic: t",
        "topic: [t]",
        "topic:",
        "ends_with: beer",
        "exam: 1",
        "exam: {pass: x}",
    ),
    *("name: Quillon", "callsign: G-QTWB", "propeller: clockwise", "propeller: up", "brakes: toe", "swing: left"),
    *(
        "tailwheel: skid",
        "speed_unit: kt",
        "stall_speed: fast",
        "a: &a 1",
        "exam: *a",
        "brakes: *a",
        "key: *a",
        "*a : b",
    ),
    *(
        "x: y: z",
        "? [k]: v",
        "'': ''",
        "- item",
        "a: |\n  b",
        "# remark",
        "%TAG",
        "...",
        "\x85",
        "a: '\u2028'",
        "\ufeff",
    ),
)

names = st.sampled_from((PLAN, SOURCES, "deck.md", "aircraft/sheet.md"))
_ends = st.sampled_from(("\n", "\n", "\r\n", "\n\n", " "))


def _made_of(fragments: tuple[str, ...]) -> st.SearchStrategy[str]:
    lines = st.lists(st.tuples(st.sampled_from(fragments) | st.text(max_size=4), _ends), max_size=12)
    return lines.map(lambda parts: "".join(part + end for part, end in parts))


front_like = _made_of(FRONT)
markdown_like = _made_of(BODY)
with_front_matter = st.builds("---\n{}{}---\n{}".format, front_like, st.sampled_from(("", "\n")), markdown_like)
texts = st.text() | markdown_like | with_front_matter
contents = st.binary() | texts.map(str.encode)
