"""How a student wants to hear transmissions: how fast, through how much noise, from the beginning or a little later."""

import re
from dataclasses import dataclass, fields
from typing import get_args

from stickback.sound.shape import Noise

SLOWEST, FASTEST = 80, 200  # words a minute; 100 is what Doc 9432 2.2.1 and CAP 413 2.8 ask for
OFF, ON = "off", "on"
FORM = f"{OFF}, {ON}, or some of: pace {SLOWEST} to {FASTEST}, noise light|heavy, clipped; with commas between"
_PACE = re.compile(r"pace (\d{1,3})")


@dataclass(frozen=True)
class Listening:
    """What is done to a voice before it is heard.

    Args:
        pace: words a minute.
        clipped: the switch was pressed too late, and the first quarter of a second is not there.
    """

    pace: int = 100
    noise: Noise = "none"
    clipped: bool = False

    @property
    def text(self) -> str:
        """As it is written in the settings: only what is not usual, in one order."""
        said = [f"pace {self.pace}"] if self.pace != Listening.pace else []
        said += [f"noise {self.noise}"] if self.noise != "none" else []
        return ", ".join([*said, *(["clipped"] if self.clipped else [])]) or ON


def read(text: str) -> Listening | None:
    """What a setting says; None where it is off.

    Errors: ValueError for what is none, with what is wrong.
    """
    found: dict[str, int | str | bool] = {}
    parts = [" ".join(part.casefold().split()) for part in text.split(",") if part.strip()]
    if parts == [OFF] or not parts:
        return None
    for part in parts if parts != [ON] else []:
        name, value = _part(part)
        if name in found:
            raise ValueError(f"'{name}' stands twice")
        found[name] = value
    return Listening(**{each.name: found[each.name] for each in fields(Listening) if each.name in found})  # type: ignore[arg-type]


def _part(part: str) -> tuple[str, int | str | bool]:
    if part == "clipped":
        return part, True
    if pace := _PACE.fullmatch(part):
        if SLOWEST <= int(pace[1]) <= FASTEST:
            return "pace", int(pace[1])
        raise ValueError(f"a pace is {SLOWEST} to {FASTEST} words a minute, not {pace[1]}")
    word, _, level = part.partition(" ")
    if word == "noise" and (level or "light") in get_args(Noise):
        return "noise", level or "light"
    raise ValueError(f"'{part}' is none of them")
