"""What was said by mistake and taken back with `correction` is not heard.

Source: ICAO Doc 9432 (4th edition) 2.8.1.6, the last right phrase and then the right version, and 2.8.1.7, `correction,
I say again`, which begins afresh; CAP 413 edition 22, 2.54 and 2.55. That a figure or a side alone stands for the last
one said is common practice.
"""

from collections.abc import Iterator, Sequence

from stickback.radio import alphabet
from stickback.radio.spoken import Token

_SIDES = frozenset(alphabet.SIDES.values())


def corrected(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """A transmission without what was taken back in it."""
    said: list[Token] = []
    for at, token in enumerate(tokens):
        if token.text != "correction":
            said.append(token)
        elif behind := [each.text for each in tokens[at + 1 : at + 3]]:
            said = [] if behind[0] == "i" or "say again" in behind else _without(said, tokens[at + 1])
    return tuple(said)


def _without(said: list[Token], better: Token) -> list[Token]:
    """What was said, without the last thing that begins as the better version does, up to its figure."""
    begins = next((at for at in _backwards(said) if said[at].text == better.text), None)
    if begins is None:
        begins = next((at for at in _backwards(said) if _of_a_kind(said[at], better)), len(said))
    ends = next((at for at in range(begins, len(said)) if said[at].number), len(said) - 1)
    if better.text in _SIDES:
        ends = begins
    return said[:begins] + said[ends + 1 :]


def _backwards(said: Sequence[Token]) -> Iterator[int]:
    return reversed(range(len(said)))


def _of_a_kind(one: Token, other: Token) -> bool:
    """Whether both are figures, or both sides."""
    return (one.number and other.number) or {one.text, other.text} <= _SIDES
