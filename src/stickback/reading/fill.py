"""`{{ name }}` in a text: the text with its values, and the variant that follows from them. The only place that reads
the braces once a file is read."""

import json
import re
from collections.abc import Iterable, Mapping
from hashlib import blake2b

_VALUE = re.compile(r"\{\{\s*([a-z][a-z0-9_]*)\s*\}\}")
_CODE = re.compile(r"(`+)(?!`).*?(?<!`)\1(?!`)", re.DOTALL)
_MARKUP = re.compile(r"([\\`*_\[\]<>#|~!&])")

# A callsign may change with the aeroplane on the day; nothing that is learnt hangs on it.
NOT_IN_VARIANT = frozenset(
    {"callsign", "callsign_short", "callsign_with_type", "other_callsign", "other_callsign_short"}
)


def fill(text: str, values: Mapping[str, str]) -> str:
    """The text with its values, escaped so that none is read as Markdown; an unknown name stays as it stands."""
    filled, at = [], 0
    for code in _CODE.finditer(text):  # in code nothing is escaped, since nothing is read as Markdown
        filled += [_fill(text[at : code.start()], values, r"\\\1"), _fill(code[0], values, r"\1")]
        at = code.end()
    return "".join([*filled, _fill(text[at:], values, r"\\\1")])


def plain(text: str, values: Mapping[str, str]) -> str:
    """The text with its values, for what is spoken and not shown as Markdown; an unknown name stays as it stands."""
    return _VALUE.sub(lambda match: values.get(match[1], match[0]), text)


def bare(text: str) -> str:
    """The text with each name in place of its braces, as a formula has it."""
    return _VALUE.sub(r"\1", text)


def is_open(text: str) -> bool:
    """Whether values still have to be filled in."""
    return "{{" in text


def _fill(text: str, values: Mapping[str, str], escaped: str) -> str:
    return _VALUE.sub(lambda match: _MARKUP.sub(escaped, values[match[1]]) if match[1] in values else match[0], text)


def variant(names: Iterable[str], values: Mapping[str, str], again: str = "") -> str:
    """A digest of the values that a question uses: eight hexadecimal digits, or `""` when it uses none.

    Memory belongs to (question, variant): an aeroplane with other values is another thing to know.

    Args:
        again: the digest of an answer that changed so that the question must be learnt anew.
    """
    used = {name: values[name] for name in sorted(set(names) - NOT_IN_VARIANT) if name in values}
    used |= {"": again} if again else {}
    return blake2b(json.dumps(used).encode(), digest_size=4).hexdigest() if used else ""
