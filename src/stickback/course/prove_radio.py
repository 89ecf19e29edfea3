"""Proof of a radio question under one draw: what is right marks right, spoken or written, and nothing else does."""

from collections.abc import Iterable, Iterator, Mapping

from stickback.kinds import radio
from stickback.kinds.radio import Radio
from stickback.radio import aloud, examiner, rules
from stickback.radio.exchange import Exchange
from stickback.reading import fill

Found = tuple[str, str, str]  # code, message, hint


def problems(body: Radio, values: Mapping[str, str], *, thorough: bool = True) -> Iterator[Found]:
    """What marks otherwise than it should, and where the author and the phraseology differ.

    Args:
        thorough: else only whether the answer that would be shown is right, as is seen whenever a course is read.
    """
    one = radio.exchange_of(body, values)
    if not thorough:
        yield from _rights(one, (one.written,))
        return
    for text in dict.fromkeys((one.written, one.composed())):
        yield from _rights(one, (text, aloud.aloud(text, body.phraseology)))
    yield from _wrongs(one)
    if body.slip:
        yield from _must_fail(one, fill.plain(body.heard, values), "what makes it a slip")
    yield from _marked(body, one)


def _rights(one: Exchange, texts: Iterable[str]) -> Iterator[Found]:
    for said in texts:
        verdict = examiner.mark(one, said)
        if not verdict.right:
            message = f"The right answer '{said}' is not marked right: {' '.join(verdict.remarks)}"
            yield "radio-fails", message, "make the answer hold every item, the callsign in its place"
            return


def _wrongs(one: Exchange) -> Iterator[Found]:
    """Each item left out, each figure changed, and no callsign: all of these must be wrong."""
    said = list(one.said)
    for place, text in enumerate(said):
        yield from _must_fail(one, one.composed([*said[:place], *said[place + 1 :]]), text)
        if (other := changed(text)) != text:
            yield from _must_fail(one, one.composed([*said[:place], other, *said[place + 1 :]]), text)
    yield from _must_fail(one, one.composed(own=""), "the callsign")


def changed(text: str) -> str:
    """A text with the last of its figures another; itself where it has none."""
    at = next((place for place in reversed(range(len(text))) if text[place].isdecimal()), None)
    return text if at is None else f"{text[:at]}{(int(text[at]) + 1) % 10}{text[at + 1 :]}"


def _must_fail(one: Exchange, said: str, missing: str) -> Iterator[Found]:
    if examiner.mark(one, said).right:
        message = f"'{said}' is marked right though '{missing}' is missing or wrong in it."
        yield "radio-fails", message, "word the items so that none is said by saying another"


def _marked(body: Radio, one: Exchange) -> Iterator[Found]:
    """The bold against the phraseology's own list, and the words of the station."""
    if not one.heard:
        return
    for word in rules.never(body.station, body.phraseology):
        if f" {word} " in f" {rules.plain(one.heard)} ":
            message = f"A station of this sort ({body.station}) does not say '{word}'."
            yield "radio-station", message, "word it as information, or name another station="
    if not one.unable:
        for said, rule in rules.unmarked(one.heard, one.wanted, body.phraseology):
            message = f"'{said}' must be read back ({rule.what}: {rule.source}) and is not in bold."
            yield "radio-unmarked", message, "put it in bold"
    for text in rules.unasked(one.wanted, body.phraseology) if body.marked else ():
        message = f"Nothing in the phraseology ({body.phraseology}) asks for '{text}' to be read back."
        yield "radio-unasked", message, "take the bold off, or name the rule under `### Why`"
