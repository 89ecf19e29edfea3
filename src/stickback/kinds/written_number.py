"""A number's answer as an author writes it: a fenced `number` block, or one line such as `65 kt ± 2`."""

import re
from typing import TypeAlias

from stickback.formulas.formula import Formula
from stickback.kinds import figure as figures
from stickback.kinds.fenced import Wrong
from stickback.kinds.figure import Figure
from stickback.reading import fill
from stickback.reading.markup import Block
from stickback.reading.places import Placed
from stickback.trade import units
from stickback.trade.units import Tolerance, Way

# What is right, its tolerance, whether its sign is a side, and known slips with what to say of each.
Parts: TypeAlias = tuple[Figure, Tolerance, bool, tuple[tuple[Formula, str], ...]]

KEYS = {
    **figures.KEYS,
    "tolerance": "`2` in the unit, `5 %`, or `nearest 5`",
    "slips": "`formula: what to say`, one a line: wrong figures that are told apart",
}
_VALUE = r"\{\{[^{}]+\}\}"
_SHORT = re.compile(
    rf"(?P<answer>{_VALUE}|-?\d+(?:\.\d+)?)\s*(?P<unit>{_VALUE}|[^\s\d±+]*)\s*(?:±|\+/-)\s*"
    rf"(?P<tolerance>\d+(?:\.\d+)?\s*%?)(?:\s*(?P<behind>{_VALUE}|[^\s\d±+%]+))?"
)
_SHORT_ANYWHERE = re.compile(re.sub(r"\?P<\w+>", "?:", _SHORT.pattern))
_SHORTLY = "write it as `65 kt ± 2`, on a line of its own"
_IN_WORDS = r"plus\s?(?:or|[-/])?\s?minus"
_PLUS_MINUS = rf"(?:±|\+\s?/?\s?[-−–]|{_IN_WORDS})"
_SIGN = re.compile(rf"\d.*{_PLUS_MINUS}|\}}\s*\S*\s*{_PLUS_MINUS}|±\s*\d")
_FIGURE = re.compile(  # `60 kt – 2`, `60 to 65 kt`, `60`: no sentence, so it was not meant as one
    rf"(?:about |ca\.? |~|≈)?(?:{_VALUE}|-?\d[\d.,]*+)\s*(?:{_VALUE}|[A-Za-z°%/]{{1,8}})?"
    r"(?:\s*(?:[-–—−~,(/]|to|or|within|tolerance)\s*\d[\d.,]*+\s*[A-Za-z°%]{0,8}\)?)?\.?"
)
_NOUGHT_IS_A_PLACE = frozenset({"angle", "temperature"})  # quantities in which nought is not nothing
_TOLERANCE = re.compile(r"(?:(?P<nearest>nearest)\s+)?(?P<size>\d+(?:\.\d+)?)\s*(?P<percent>%)?")
_CALLED = re.compile(r"([a-z_]\w*)\s*\(")
_WHOLE = frozenset({"abs", "round", "floor", "ceil", "min", "max", "turn", "off_runway", "and", "or", "not"})
_ROUNDS = re.compile(r"\s*(?:round|floor|ceil)\s*\(.*\)\s*")
_SIDED = re.compile(r"crosswind\s*\(")  # its sign is a side: positive from the right


def is_written(block: Block) -> bool:
    """Whether a block is a number's answer in one of the two forms."""
    return block.name == "number" or _short(block) is not None


def in_a_line(block: Block) -> Placed | None:
    """What one line says; None where it is no such line.

    Errors: Wrong.
    """
    match = _short(block)
    if match is None:
        return None
    unit, behind = match["unit"] or "", match["behind"] or ""
    if unit and behind and not _same(unit, behind):
        raise Wrong("The tolerance has another unit than the number.", "write it in the same, such as `65 kt ± 2`")
    return Placed({"answer": fill.bare(match["answer"]), "unit": unit or behind, "tolerance": match["tolerance"]})


def parts(placed: Placed) -> Parts:
    """What an answer says.

    Errors: Wrong.
    """
    tolerance = _TOLERANCE.fullmatch(placed.text("tolerance"))
    if tolerance is None:
        hint = "write `tolerance: 2`, `5 %` or `nearest 5`; in one line `65 kt ± 2`"
        raise Wrong("The tolerance is missing or is none.", hint, "tolerance")
    figure = figures.of(placed)
    if units.quantity(figure.unit) not in _NOUGHT_IS_A_PLACE and _too_wide(tolerance, figure.formula):
        message = "The tolerance is wider than the number: nought would be right."
        raise Wrong(message, "narrow it, such as `65 kt ± 2`", "tolerance")
    if not float(tolerance["size"]) and _rounded_by_hand(figure.formula.text):
        message = "This is worked out, and without a tolerance only its very last figure is right."
        hint = "say how far off it may be, such as `tolerance: 1`"
        raise Wrong(message, hint, "tolerance", code="number-exact")
    slips = placed.data.get("slips", {})
    if not isinstance(slips, dict):
        raise Wrong("Slips are `formula: what to say`, one a line.", "put each on a line of its own", "slips")
    way: Way = "percent" if tolerance["percent"] else "nearest" if tolerance["nearest"] else "absolute"
    told = tuple((figures.formula_of(text, "slips", text, ""), str(said)) for text, said in slips.items())
    return figure, Tolerance(float(tolerance["size"]), way), bool(_SIDED.match(figure.formula.text)), told


def is_nearly_written(block: Block) -> bool:
    """Whether a block is one figure, alone or with what should have been its tolerance."""
    if block.kind == "bullets" and len(block.children) == 1 and len(block.children[0].children) == 1:
        inner = block.children[0].children[0]
        return inner.kind == "paragraph" and bool(_short(inner) or _SIGN.search(inner.text))
    text = " ".join(block.text.split())
    return block.kind == "paragraph" and not _short(block) and bool(_FIGURE.fullmatch(text) or _SIGN.search(text))


_CAUSES = (  # what keeps a line from being read as a number, what is wrong with it and what to write
    (
        r"(?<![A-Za-z])[a-z_]{2,}\(|\}\s*[-*/+]\s*[\d{]|\d\s*[*/]\s*[\d{]",
        "A formula is not read on one line.",
        "write a fenced `number` block: `answer: …`, `unit: …` and `tolerance: …`, one a line",
    ),
    (r"\d,\d", "A number has a point, no comma.", "write such as `4 l ± 0.5`, and 1500 without a comma"),
    (r"^[-*+•]\s", "A number stands without a bullet.", "write it as `65 kt ± 2`, on a line of its own"),
    (
        rf"\+\s?[-–−]|[–—−]\s*\d|{_IN_WORDS}|within|tolerance",
        "The tolerance has another sign.",
        _SHORTLY,
    ),
    (
        r"\d\D*\b(?:to|or)\b\s*\d|\d\s*-\s*\d",
        "A range is not read.",
        "write its middle and how far it reaches: `65 kt ± 5`",
    ),
)


def cause(block: Block) -> tuple[str, str]:
    """Why a block that is nearly a number is not read as one, and what to write."""
    text = " ".join(block.text.split()) or "- "  # what has no text of its own is a list
    for pattern, message, hint in _CAUSES:
        if re.search(pattern, text):
            return message, hint
    if "±" not in text and "+/-" not in text:
        return "This number has no tolerance.", _SHORTLY
    unread = _SHORT_ANYWHERE.split(text)
    if len(unread) == 2 and (words := next((part.strip() for part in unread if part.strip()), "")):
        return f"'{words[:40]}' is not read beside a number.", _SHORTLY
    return "This number is not read as one.", _SHORTLY


def _same(one: str, other: str) -> bool:
    """Whether two units are one, or two values the same name."""
    return fill.bare(one) == fill.bare(other) or units.name(one) == units.name(other)


def _short(block: Block) -> re.Match[str] | None:
    return _SHORT.fullmatch(" ".join(block.text.split())) if block.kind == "paragraph" else None


def _rounded_by_hand(formula_text: str) -> bool:
    """Whether whoever works a formula out must round: it divides, or has a function that whole numbers do not keep."""
    uneven = "/" in formula_text or not _WHOLE.issuperset(_CALLED.findall(formula_text))
    return uneven and not _ROUNDS.fullmatch(formula_text)


def _too_wide(tolerance: re.Match[str], answer: Formula) -> bool:
    """Whether a tolerance takes in nought, as far as that can be told before anything is drawn."""
    size = float(tolerance["size"])
    if tolerance["percent"]:
        return size >= 100  # per cent
    return not answer.names and not tolerance["nearest"] and 0 < abs(answer.value({})) < size
