"""Scene: what a picture takes to be drawn; its words, what fits them, and what comes of it."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from stickback.pictures.canvas import Element
from stickback.reading import fill
from stickback.trade import yaw
from stickback.trade.runway import RUNWAY
from stickback.trade.yaw import Side

Words: TypeAlias = Mapping[str, str]
Wrong: TypeAlias = tuple[str, str]

ANSWER = "answer"

_NUMBER = re.compile(r"[0-9]{1,3}(\.[0-9]{1,2})?")


@dataclass(frozen=True)
class Drawing:
    """A picture before it is written, `canvas.WIDTH` wide."""

    height: float
    title: str
    inside: Sequence[Element]


@dataclass(frozen=True)
class Word:
    """A word that a scene takes.

    Args:
        fits: whether a value can be drawn.
        takes: the values that fit, as a hint says them.
        default: its value when it is not given; None when it must be given.
    """

    fits: Callable[[str], bool]
    takes: str
    default: str | None = None


@dataclass(frozen=True)
class Scene:
    """A kind of picture.

    Args:
        words: those it takes.
        sentence: what the picture shows, for where it cannot be seen; draw: the picture; both from values that fit,
            defaults filled in.
        rule: what else must hold between the words, as a message and a hint.
    """

    words: Mapping[str, Word]
    sentence: Callable[[Words], str]
    draw: Callable[[Words], Drawing]
    rule: Callable[[Words], Wrong | None] = lambda _: None


def sign(side: str) -> int:
    """Where a side lies in a picture that is seen as the pilot sees it: 1 to the right, -1 to the left."""
    return 1 if side == yaw.side(1) else -1


def a_side(default: Side | None = None) -> Word:
    """Left or right."""
    return one_of(yaw.side(-1), yaw.side(1), default=default)


def one_of(*values: str, default: str | None = None) -> Word:
    """One of a few values."""
    return Word(lambda text: text in values, " | ".join(values), default)


def between(low: float, high: float, unit: str, default: str | None = None) -> Word:
    """A number from `low` to `high`."""
    takes = f"{low} to {high} {unit}"
    return Word(lambda text: bool(_NUMBER.fullmatch(text)) and low <= float(text) <= high, takes, default)


def runway_name() -> Word:
    """A runway: 01 to 36, perhaps with L, C or R."""
    return Word(lambda text: bool(RUNWAY.fullmatch(text)), "01 to 36, perhaps with L, C or R")


def check(name: str, scene: Scene, words: Words) -> Wrong | None:
    """What is wrong with the words of a scene, as a message and a hint; those with `{{ }}` are filled in later."""
    takes = ", ".join(scene.words)
    for key in words:
        if key not in scene.words:
            return f"The scene '{name}' has no word '{key}'.", f"it takes {takes}"
    for key, word in scene.words.items():
        if key not in words and word.default is None:
            return f"The scene '{name}' does not say '{key}'.", f"add `{key}:` with {word.takes}"
        if key in words and not fill.is_open(words[key]) and not word.fits(words[key]):
            return f"'{words[key]}' is no {key} of the scene '{name}'.", f"write {word.takes}"
    return scene.rule(words)


def filled(scene: Scene, words: Words) -> Words:
    """The words with the defaults of those not given."""
    return {key: words.get(key, word.default or "") for key, word in scene.words.items()}
