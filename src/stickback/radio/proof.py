"""An exchange tried in a dozen ways: what is right marks right, spoken or written, and nothing else does."""

from collections.abc import Iterable, Iterator

from stickback.radio import aloud, examiner, rules
from stickback.radio.exchange import Exchange

Fault = tuple[str, str, str]  # code, message, hint
JUDGEMENT = frozenset(
    {"radio-callsign", "radio-station", "radio-unasked", "radio-unmarked"}
)  # codes of what the author may overrule


def rights(one: Exchange) -> Iterator[Fault]:
    """Whether the answer that would be shown is right."""
    yield from list(_unheard(one)) or _rights(one, (one.written,))


def problems(one: Exchange, *, slip: str = "", marked: bool) -> Iterator[Fault]:
    """What marks otherwise than it should, and where the author and the phraseology differ.

    Args:
        slip: what must not be said, where the right call is asked for in its place.
        marked: the items were chosen by the author.
    """
    if one.silent:
        yield from _silence(one)
        return
    if unheard := list(_unheard(one)):
        yield from unheard
        return
    for text in dict.fromkeys((one.written, one.composed())):
        yield from _rights(one, (text, aloud.aloud(text, one.phraseology)))
    yield from _wrongs(one)
    if slip and examiner.right(one, slip):
        message = f"The bad call '{slip}' is marked right: it says all that is asked for."
        yield "radio-fails", message, "change the bad call, or what stands in bold under `### Answer`"
    yield from _judgements(one, marked=marked)


def _silence(one: Exchange) -> Iterator[Fault]:
    """Whether what is not to be answered is said to somebody else."""
    if one.opening.callsigns:
        message = "Nothing is to be said to this, yet it is said to this aeroplane."
        yield "radio-fails", message, "give it another callsign, or write what is to be said"


def _unheard(one: Exchange) -> Iterator[Fault]:
    """Items that nobody can say, such as a letter A alone: it is taken for the article."""
    for item in (item for item in one.items if not item.words):
        message = f"'{item.text}' by itself is heard as nothing."
        yield "radio-fails", message, "put the word that it belongs to into the same bold: `**information A**`"


def _rights(one: Exchange, texts: Iterable[str]) -> Iterator[Fault]:
    for said in texts:
        if not examiner.right(one, said):
            remarks = " ".join(examiner.mark(one, said).remarks)
            message = f"The right answer '{said}' is not marked right: {remarks}"
            yield "radio-fails", message, "make the answer hold every item, the callsign in its place"
            return


def _wrongs(one: Exchange) -> Iterator[Fault]:
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


def _must_fail(one: Exchange, said: str, missing: str) -> Iterator[Fault]:
    if examiner.right(one, said):
        message = f"'{said}' is marked right though '{missing}' is missing or wrong in it."
        yield "radio-fails", message, "word the items so that none is said by saying another"


def _judgements(one: Exchange, *, marked: bool) -> Iterator[Fault]:
    """The bold against the phraseology's own list, and the words of the station."""
    if not one.heard:
        return
    if not one.opening.callsigns:
        message = "This transmission does not say the callsign, so it is for nobody."
        yield "radio-callsign", message, "begin it with {{ callsign }} or {{ callsign_short }}"
    for word in rules.never(one.station, one.phraseology):
        if f" {word} " in f" {rules.plain(one.told)} ":
            message = f"A station of this sort ({one.station}) does not say '{word}'."
            yield "radio-station", message, "word it as information, or name another station"
    if not one.unable:
        for said, rule in rules.unmarked(one.told, one.wanted, one.phraseology):
            message = f"'{said}' must be read back ({rule.what}: {rule.source}) and is not in bold."
            yield "radio-unmarked", message, "put it in bold"
    for text in rules.unasked(one.wanted, one.phraseology) if marked else ():
        message = f"Nothing in the phraseology ({one.phraseology}) asks for '{text}' to be read back."
        yield "radio-unasked", message, "take the bold off, or name the rule under `### Why`"
