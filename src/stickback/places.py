"""YAML with the line and column of every key and value, so that a wrong value can be pointed at.

Every scalar stays the text that was typed: runway `07`, `no` and `10:30` survive. What a value must be is the reader's
business, not this module's.
"""

from dataclasses import dataclass, field

import yaml

from stickback.problem import Problem

Place = tuple[int, int]
Value = "str | list[Value] | dict[str, Value]"

_LOADER: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_DEEPEST = 20


@dataclass(frozen=True)
class Placed:
    """A mapping read from YAML.

    Args:
        data: scalars as text, lists and mappings; a doubled key keeps its first value.
        places: line and column in the file of every value, and of every key under the path plus `""`.
    """

    data: dict[str, object] = field(default_factory=dict)
    places: dict[tuple[str, ...], Place] = field(default_factory=dict)

    def key(self, *path: str) -> Place:
        """Where a key stands."""
        return self.places[(*path, "")]

    def value(self, *path: str) -> Place:
        """Where the value of a key stands."""
        return self.places[path]


class _Reader:
    """One walk over one document; collects problems instead of raising."""

    def __init__(self, file: str, first_line: int) -> None:
        self.file = file
        self.first = first_line
        self.problems: list[Problem] = []
        self.places: dict[tuple[str, ...], Place] = {}
        self.seen: set[int] = set()

    def place(self, mark: yaml.Mark) -> Place:
        return self.first + mark.line, mark.column + 1

    def report(self, mark: yaml.Mark, code: str, message: str, hint: str) -> None:
        self.problems.append(Problem(self.file, *self.place(mark), code, message, hint))

    def walk(self, node: yaml.Node, path: tuple[str, ...]) -> object:
        if id(node) in self.seen:
            self.report(
                node.start_mark, "front-alias", "An alias is not read.", "write the value out where it is needed"
            )
            return ""
        self.seen.add(id(node))
        if len(path) > _DEEPEST:
            self.report(node.start_mark, "front-form", "This is nested too deep.", "keep to plain `key: value` lines")
            return ""
        self.places.setdefault(path, self.place(node.start_mark))
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self.walk(item, (*path, str(index))) for index, item in enumerate(node.value)]
        return str(node.value)

    def mapping(self, node: yaml.MappingNode, path: tuple[str, ...]) -> dict[str, object]:
        data: dict[str, object] = {}
        for key, value in node.value:
            name = key.value if isinstance(key, yaml.ScalarNode) else None
            if name is None:
                self.report(key.start_mark, "front-form", "A key must be one plain word.", "write `key: value`")
            elif name in data:
                hint = f"keep one line that begins `{name}:`"
                self.report(key.start_mark, "front-doubled", f"The key '{name}' stands twice.", hint)
            else:
                self.places[*path, name, ""] = self.place(key.start_mark)
                data[name] = self.walk(value, (*path, name))
        return data


def read(text: str, file: str, first_line: int) -> tuple[Placed, list[Problem]]:
    """A mapping and what is wrong with it; an empty text is an empty mapping.

    Args:
        text: the YAML alone, without its fences.
        first_line: the line of the file on which the text begins.
    """
    reader = _Reader(file, first_line)
    try:
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        return Placed(), [_syntax(error, text, file, first_line)]
    except (RecursionError, ValueError):
        node = None
        reader.problems.append(_form(file, first_line))
    if node is None:
        return Placed(), reader.problems
    if not isinstance(node, yaml.MappingNode):
        return Placed(), [_form(file, first_line)]
    data = reader.walk(node, ())
    assert isinstance(data, dict)  # noqa: S101 - a mapping node gives a mapping
    return Placed(data, reader.places), reader.problems


def _form(file: str, line: int) -> Problem:
    return Problem(file, line, 1, "front-form", "This is not a list of `key: value` lines.", "write `key: value`")


def _syntax(error: yaml.YAMLError, text: str, file: str, first_line: int) -> Problem:
    """The parser's own complaint, kept inside the text: its mark may stand behind the last line."""
    mark = getattr(error, "problem_mark", None)
    lines = text.split("\n")
    line = min(mark.line if mark else 0, len(lines) - 1)
    column = min(mark.column if mark else 0, len(lines[line]))
    what = getattr(error, "problem", None) or "it is not YAML"
    message = f"The front matter cannot be read: {what}."
    return Problem(
        file,
        first_line + line,
        column + 1,
        "front-form",
        message,
        "write `key: value`, with quotes around a value that holds `: ` or `#`",
    )
