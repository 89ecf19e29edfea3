"""The reference of the format, made from the tables that the reader uses: what is not read cannot stand in it."""

import inspect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from stickback.course import deck, fences, front, plan, question, sheet
from stickback.course.course import ENDINGS, PHRASEOLOGIES, PLAN, SHEETS, SOURCES
from stickback.formulas import given
from stickback.formulas.functions import FUNCTIONS, Function
from stickback.kinds.table import KINDS
from stickback.pictures.figure import SCENES
from stickback.radio import callsign
from stickback.reading.problem import CODES
from stickback.trade import units, yaw

Row = tuple[str, str]


@dataclass(frozen=True)
class Chapter:
    """One page of the reference.

    Args:
        about: what it is, in sentences.
        rows: names and what they mean.
        example: how it is written; `more` shows what that does not.
    """

    title: str
    about: tuple[str, ...]
    rows: tuple[Row, ...] = ()
    example: str = ""
    more: tuple[str, ...] = ()


_ATTRIBUTES = {
    "beside": "taught beside the others, open from the start",
    "weight": "its share in the school's oral",
    "must": "a matter of safety",
    "assumed": "a licensed pilot should know it: one question in four is asked, a miss opens the rest",
    "late": "it can wait, such as the law",
    "topic": "the topic of the lesson plan that it asks about; else the deck's",
    "then": "id of the question that is asked straight after it",
    "sides": "why a side is typed by hand, for `check --strict`",
    "asks": "`again` where the right answer changed: who knew the old one meets the question as unseen",
}
_SECTIONS = {
    "answer": "what is right, where it is no list of options",
    "fails if said": "points that fail the answer, of a question to explain",
    "hint": "shown on request; using it counts as a guess",
    "why": "shown after the answer: one line when it was right, the whole when it was wrong",
}
_PLAIN = {  # functions that Python has, in our words
    "abs": "The value without its sign.",
    "floor": "The whole number below.",
    "ceil": "The whole number above.",
    "min": "The least of up to 20 values.",
    "max": "The greatest of up to 20 values.",
}


def chapters() -> dict[str, Chapter]:
    """Every chapter by its name, in the order in which an author needs them."""
    kinds = {name: _kind(name) for name in KINDS}
    return {
        "course": _course(),
        "plan": _plan(),
        "sheet": _sheet(),
        "deck": _deck(),
        **kinds,
        "values": _values(),
        "given": _given(),
        "functions": Chapter(
            "Functions of formulas",
            (
                "Numbers, names, + - * / // % **, comparisons, and, or, not, and these; angles are in degrees.",
                f"Units are converted by functions such as kt_to_mph; they are: {', '.join(_spellings())}.",
            ),
            tuple(_functions()),
            "crosswind(runway, wind_from, wind)",
        ),
        "figure": _figure(),
        "problems": Chapter("What `check` finds", ("By the code behind each message.",), tuple(CODES.items())),
    }


def _course() -> Chapter:
    rows = (
        (PLAN, "the lesson plan: lessons and topics"),
        ("*.md", "decks of questions, in the folder itself"),
        (f"{SHEETS}*.md", "one sheet an aeroplane"),
        (SOURCES, "the list of sources: footnotes that every file may use, one `[^key]: …` a line"),
        ("figures/", "pictures, shown with ![what it shows](figures/name.svg)"),
    )
    about = (
        "A course is a folder of Markdown files. Each may begin with front matter: `key: value` between two lines ---.",
        "Any file may say, in its front matter: "
        + "; ".join(f"{key} ({what})" for key, what in front.META.items())
        + ".",
        "A footnote [^key] is looked up in its own file, then in the list of sources.",
        "Comments <!-- … --> are shown nowhere.",
    )
    return Chapter("A course", about, rows)


def _plan() -> Chapter:
    rows = [*plan.KEYS.items()]
    rows += [(f"**{words}.**", what) for words, what in plan.PARAGRAPHS.items()]
    for sign, attributes in (("## Lesson", plan.LESSON_ATTRIBUTES), ("### Topic", plan.TOPIC_ATTRIBUTES)):
        rows += [(f"{sign} {name}={'|'.join(values)}", _ATTRIBUTES[name]) for name, values in attributes.items()]
    about = (
        "Lessons are headings with two # signs, topics inside them with three, each with an id that nothing else has.",
        "Under `#### Errors seen` a lesson lists what is seen to go wrong, each with its id and the topics behind it.",
        "A paragraph of a lesson that begins with one of the words in bold below stands on the card of `brief --card`.",
        f"The word for the end is one of: {', '.join(ENDINGS)}.",
    )
    example = (
        "---\nid: tailwheel\ntitle: Tailwheel conversion\n---\n\n"
        "## Lesson 1: Take-off {#take-off}\n\n**Aim.** To keep straight.\n\n"
        "### Why the nose swings {#yaw-causes weight=2}\n\nThe text of the topic.\n\n#### Errors seen\n\n"
        '- {#late-feet topics="yaw-causes"} Take-off: the feet come late'
    )
    return Chapter("The lesson plan", about, tuple(rows), example)


def _sheet() -> Chapter:
    rows = [(f"{key} (must be there)", f"such as {example}") for key, example in sheet.REQUIRED.items()]
    rows = [
        (key, f"one of: {', '.join(sheet.WORDS[key.split()[0]])}") if key.split()[0] in sheet.WORDS else (key, what)
        for key, what in rows
    ]
    rows += [(key, f"one of: {', '.join(words)}") for key, words in sheet.WORDS.items() if key not in sheet.REQUIRED]
    rows += [(key, "a positive number") for key in sheet.NUMBERS]
    about = (
        "An aircraft sheet is front matter, and a text below it. Every key is a value that questions may use.",
        "Any other key of your own is a value too.",
        "These follow from the propeller and are never typed: " + ", ".join(yaw.yaw_sides(yaw.PROPELLERS[0])) + ".",
        "These follow from the callsign: " + ", ".join(callsign.signs("")) + ".",
    )
    example = (
        "---\n" + "".join(f"{key}: {value}\n" for key, value in sheet.REQUIRED.items()) + "approach_speed: 60\n---"
    )
    return Chapter("An aircraft sheet", about, tuple(rows), example)


def _deck() -> Chapter:
    rows = [*deck.KEYS.items()]
    rows += [(f"### {name.capitalize()}", _SECTIONS[name]) for name in question.SECTIONS]
    rows += [("{#the-id}", "the question's identity for life: small letters, digits and hyphens")]
    rows += [(f"{name}=…", _ATTRIBUTES[name]) for name in ("topic", "then", "sides", "asks")]
    rows += [
        ("phraseology=…", f"asked only of who flies by it: {', '.join(PHRASEOLOGIES)}"),
        ('rules="…"', f"the same for the law: {', '.join(PHRASEOLOGIES)}, or several of them with a blank between"),
        ("brakes=heel", "or any other value of the sheets: asked only on an aeroplane that has it"),
    ]
    about = (
        "A deck holds questions: each a heading with two # signs, an id in braces at its end, the text, the answer.",
        "The form of the answer makes the kind.",
        f"The kinds: {', '.join(KINDS)}; see `stickback format` with one of these names.",
    )
    heading = "---\ntitle: Take-off\ntopic: yaw-causes\n---\n\n## Which way does the nose swing? {#nose-swing}"
    example = f"{heading}\n\n{KINDS['choice'].EXAMPLE}\n\n### Why\n\nThe reason.[^key]"
    return Chapter("A deck", about, tuple(rows), example)


def _kind(name: str) -> Chapter:
    kind = KINDS[name]
    rows = [*kind.KEYS.items()]
    rows += [(f"{key}={'|'.join(values)}", means) for key, (values, means) in kind.ATTRIBUTES.items()]
    about = [
        _first(inspect.getdoc(kind) or ""),
        f"Written as: {inspect.getdoc(kind.reads) or ''}",
        *kind.RULES,
    ]
    return Chapter(f"Questions of the kind `{name}`", tuple(about), tuple(rows), kind.EXAMPLE, kind.MORE_EXAMPLES)


def _values() -> Chapter:
    about = (
        "{{ name }} stands for a value of the aircraft sheet, or for one that is drawn.",
        "It may stand in any text, option, unit, stick block or figure; in a formula the name stands without braces.",
        "A student's memory of a question belongs to the values it uses: on another aeroplane it is asked anew.",
    )
    return Chapter(
        "Values", about, (), "The propeller turns {{ propeller }}. Approach at {{ approach_speed }} {{ speed_unit }}."
    )


def _given() -> Chapter:
    rows = (
        ("name: a | b | c", "drawn from a list"),
        ("name: 10 to 24", "drawn from a range; `010 to 360 step 10` keeps its three figures"),
        (f"{given.LET}:", "names worked out from others, `name: formula`, one a line below it"),
        (f"{given.WHERE}:", "a condition that a draw must meet, or a list: each on a line below, after `- `"),
    )
    about = (
        f"A `given` block stands {fences.PLACES['given']}. Its values are drawn anew for each asking.",
        "Names that end in wind_from, heading, track, course or direction are printed with three figures.",
        "A runway is printed as it is written here; one that is worked out, with two figures.",
    )
    drawn = "runway: 06 | 24\nwind_from: 010 to 360 step 10\nwind: 8 to 24"
    example = f"```given\n{drawn}\nwhere: off_runway(runway, wind_from) <= 60\n```"
    listed = "let:\n  gust: wind + 5\nwhere:\n  - off_runway(runway, wind_from) <= 60\n  - gust < 25"
    return Chapter("Values that are drawn", about, rows, example, (f"```given\n{drawn}\n{listed}\n```",))


def _figure() -> Chapter:
    rows = []
    for name, scene in SCENES.items():
        words = (
            f"{key}: {word.takes}" + (f" [{word.default}]" if word.default else "") for key, word in scene.words.items()
        )
        rows.append((name, "; ".join(words)))
    about = (
        "A `figure` block is drawn as a picture, and said in words where it cannot be seen. It may stand in any text.",
        "Its scene is one of these, with the words it takes and, in brackets, what they are when they are not given.",
        "What has no brackets must be given: also with `quarter: all`, the four aslant in one picture, a `strength`.",
    )
    return Chapter(
        "Pictures that are drawn",
        about,
        tuple(rows),
        "```figure\nscene: stick\nquarter: behind-left\nstrength: strong\n```",
    )


def _functions() -> Iterator[Row]:
    for name, function in FUNCTIONS.items():
        if "_to_" not in name:
            yield (
                f"{name}({', '.join(_arguments(function))})",
                _PLAIN.get(name) or _first(inspect.getdoc(function.call) or ""),
            )


def _arguments(function: Function) -> Iterable[str]:
    if function.most > function.least + 1:
        return ("a", "b", "…")
    names = list(inspect.signature(function.call).parameters)
    optional = names[function.least : function.most]
    return [
        *("value" if name == "x" else name for name in names[: function.least]),
        *(f"[{name}]" for name in optional),
    ]


def _spellings() -> list[str]:
    return [unit.spellings[0] for unit in units.UNITS.values()]


def _first(text: str) -> str:
    """The first paragraph of a docstring, on one line."""
    return " ".join(text.split("\n\n")[0].split())
