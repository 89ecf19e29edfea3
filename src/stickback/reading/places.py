"""YAML with the line and column of every key and value, so that a wrong value can be pointed at.

Every scalar stays the text that was typed: runway `07`, `no` and `10:30` survive. What a value must be is the reader's
business, not this module's.
"""

from dataclasses import dataclass, field

import yaml

from stickback.reading.problem import At, Place, Problem

LARGEST = 20_000  # characters: many times what a course needs, and no long wait where YAML is read by Python alone

AREAS = {"front": "front matter", "block": "block"}
_CODES = {
    "front": {"form": "front-form", "doubled": "front-doubled", "alias": "front-alias"},
    "block": {"form": "block-form", "doubled": "block-doubled", "alias": "block-alias"},
}
# What the parser says, and what its reader understands.
_PLAIN = {
    "mapping values are not allowed": "a second `: ` stands in one line",
    "tab character": "a tab stands where spaces must",
    "cannot start any token": "a value begins with a sign that needs quotes around it",
    "could not find expected ':'": "a line is no `key: value`",
    "expected <block end>": "a line is indented otherwise than those above it",
    "while parsing a flow": "a bracket is never closed",
    "expected ',' or": "a bracket is never closed",
}

_LOADER: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_DEEPEST = 20
_OPEN, _CLOSE = "\ue000\ue001", "\ue002\ue003"  # letters of nobody, two for two
# YAML ends a line where no editor does.
_NO_ENDS = str.maketrans("\x85\u2028\u2029", "   ")


@dataclass(frozen=True)
class Placed:
    """A mapping read from YAML.

    Args:
        data: scalars as text, lists and mappings; a doubled key keeps its first value, what is not read is left out.
        places: line and column in the file of every value, and of every key under the path plus `""`.
    """

    data: dict[str, object] = field(default_factory=dict)
    places: dict[tuple[str, ...], Place] = field(default_factory=dict)

    def text(self, *path: str) -> str:
        """What was typed under a path, of a list its items by their numbers; empty where no text stands there."""
        value: object = self.data
        for key in path:
            value = _under(value, key)
        return value if isinstance(value, str) else ""

    def key(self, *path: str) -> Place:
        """Where a key stands."""
        return self.places[(*path, "")]

    def value(self, *path: str) -> Place:
        """Where the value of a key stands."""
        return self.places[path]


def _under(value: object, key: str) -> object:
    """What stands under a key of a mapping or at a number of a list; None where nothing does."""
    if isinstance(value, list):
        return value[int(key)] if key.isdecimal() and int(key) < len(value) else None
    return value.get(key) if isinstance(value, dict) else None


class _Reader:
    """One walk over one document; collects problems instead of raising."""

    def __init__(self, file: str, first_line: int, area: str) -> None:
        self.file = file
        self.area = area
        self.first = first_line
        self.problems: list[Problem] = []
        self.places: dict[tuple[str, ...], Place] = {}
        self.seen: set[int] = set()
        self.aliased = False  # one alias seldom stands alone, and is complained about once

    def root(self, node: yaml.MappingNode) -> Placed:
        self.seen.add(id(node))
        self.places[()] = self.place(node.start_mark)
        return Placed(self.mapping(node, ()), self.places)

    def place(self, mark: yaml.Mark) -> Place:
        return self.first + mark.line, mark.column + 1

    def report(self, mark: yaml.Mark, what: str, message: str, hint: str) -> None:
        self.problems.append(Problem(At(self.file, *self.place(mark)), _CODES[self.area][what], message, hint))

    def alias(self, node: yaml.Node) -> bool:
        """Whether the node was met before: an alias is the very node that it repeats."""
        if id(node) in self.seen:
            if not self.aliased:
                hint = "write the value out where it is needed"
                self.report(node.start_mark, "alias", "An alias is not read.", hint)
            self.aliased = True
            return True
        self.seen.add(id(node))
        return False

    def walk(self, node: yaml.Node, path: tuple[str, ...]) -> object:
        """The value, or None where it is not read: its problem is said, and nothing more is to be said of it."""
        if self.alias(node):
            return None
        if len(path) > _DEEPEST:
            self.report(node.start_mark, "form", "This is nested too deep.", "keep to plain `key: value` lines")
            return None
        self.places[path] = self.place(node.start_mark)
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path)
        return self.items(node, path) if isinstance(node, yaml.SequenceNode) else _restored(node.value)

    def items(self, node: yaml.SequenceNode, path: tuple[str, ...]) -> list[object]:
        found: list[object] = []
        for item in node.value:
            value = self.walk(item, (*path, str(len(found))))
            found += [] if value is None else [value]
        return found

    def mapping(self, node: yaml.MappingNode, path: tuple[str, ...]) -> dict[str, object]:
        data: dict[str, object] = {}
        for key, node_of_value in node.value:
            if self.takes(key, path):
                value = self.walk(node_of_value, (*path, key.value))
                data |= {} if value is None else {key.value: value}
        return data

    def takes(self, key: yaml.Node, path: tuple[str, ...]) -> bool:
        """Whether a key can be read; keeps its place."""
        if not isinstance(key, yaml.ScalarNode):
            self.report(key.start_mark, "form", "A key must be one plain word.", "write `key: value`")
        elif self.alias(key):
            pass
        elif (*path, key.value, "") in self.places:
            hint = f"keep one line that begins `{key.value}:`"
            self.report(key.start_mark, "doubled", f"The key '{key.value}' stands twice.", hint)
        else:
            self.places[*path, key.value, ""] = self.place(key.start_mark)
            return True
        return False


def read(text: str, file: str, first_line: int, area: str = "front") -> tuple[Placed, list[Problem]]:
    """A mapping and what is wrong with it; an empty text is an empty mapping.

    Args:
        text: the YAML alone, without its fences.
        first_line: the line of the file on which the text begins.
        area: a key of `AREAS`, which begins the codes of its problems.
    """
    if len(text) > LARGEST:
        message = f"This is longer than {LARGEST} characters and is not read."
        return Placed(), [_form(file, first_line, area, message)]
    try:
        node = yaml.compose(_hidden(text).translate(_NO_ENDS), Loader=_LOADER)
    except yaml.YAMLError as error:
        return Placed(), [_syntax(error, text, file, first_line, area)]
    except (RecursionError, ValueError):
        return Placed(), [_form(file, first_line, area)]
    if node is None:
        return Placed(), []
    if not isinstance(node, yaml.MappingNode):
        return Placed(), [_form(file, first_line, area)]
    reader = _Reader(file, first_line, area)
    return reader.root(node), reader.problems


def _hidden(text: str) -> str:
    """The text with `{{ value }}` as YAML reads words: its braces would open a mapping. Places stay as they are."""
    return text.replace("{{", _OPEN).replace("}}", _CLOSE)


def _restored(value: object) -> str:
    return str(value).replace(_OPEN, "{{").replace(_CLOSE, "}}")


def _form(file: str, line: int, area: str, message: str = "This is not a list of `key: value` lines.") -> Problem:
    return Problem(At(file, line, 1), _CODES[area]["form"], message, "write `key: value`")


def _syntax(error: yaml.YAMLError, text: str, file: str, first_line: int, area: str) -> Problem:
    """The parser's own complaint in plain words, kept inside the text: its mark may stand behind the last line."""
    mark = getattr(error, "problem_mark", None)
    lines = text.split("\n")
    line = min(mark.line if mark else 0, len(lines) - 1)
    column = min(mark.column if mark else 0, len(lines[line]))
    if line and not lines[line][:1].isspace() and lines[line - 1].strip() and ":" not in lines[line - 1]:
        line, column = line - 1, 0  # the parser took both for one value
        error = yaml.error.MarkedYAMLError(problem="could not find expected ':'")
    said = getattr(error, "problem", None) or "it is not YAML"
    what = next((words for sign, words in _PLAIN.items() if sign in said), said)
    hint = "write `key: value`, with quotes around a value that holds `: ` or `#`"
    message = f"The {AREAS[area]} cannot be read: {what}."
    return Problem(At(file, first_line + line, column + 1), _CODES[area]["form"], message, hint)
