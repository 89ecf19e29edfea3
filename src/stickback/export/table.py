"""A table of named columns as CSV and JSON, and what a reader must know beside it."""

import csv
import io
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

Cell = str | int | float | bool | None

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


class Column(NamedTuple):
    """A column, and what a reader must know of it.

    Args:
        type: `string`, `integer`, `number`, `boolean` or `date`, as CSV on the Web names them.
        unit: such as `day`; a `share` is a number from 0 to 1; empty where there is none.
        meaning: in words.
        of: its value, from what a row is about.
    """

    name: str
    type: str
    unit: str
    meaning: str
    of: Callable[[Any], Cell]


@dataclass(frozen=True)
class Table:
    """Rows under named columns; an empty cell is None.

    Args:
        about: what every export carries: course revision, program version and the like.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    about: Mapping[str, Any]

    @property
    def names(self) -> tuple[str, ...]:
        """Of the columns."""
        return tuple(column.name for column in self.columns)


def as_csv(table: Table) -> str:
    """RFC 4180 with the columns as its head; a text that a spreadsheet would run as a formula gets a leading `'`."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.names)
    writer.writerows([[_cell(cell) for cell in row] for row in table.rows])
    return out.getvalue()


def _cell(cell: Cell) -> Cell:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, str) and cell.startswith(_FORMULA):
        return f"'{cell}"
    return cell


def as_json(table: Table, group: str) -> str:
    """The same names and values, nested by the value of one column; empty cells are null."""
    nested: dict[Cell, list[dict[str, Cell]]] = {}
    for row in table.rows:
        named = dict(zip(table.names, row, strict=True))
        nested.setdefault(named.pop(group), []).append(named)
    groups = [{group: name, "rows": rows} for name, rows in nested.items()]
    return json.dumps({**table.about, f"{group}s": groups}, indent=2, ensure_ascii=False, allow_nan=False)


def metadata(table: Table, url: str) -> str:
    """What stands beside a CSV file. Source: W3C, *Metadata Vocabulary for Tabular Data* (CSV on the Web), 2015."""
    found = {
        "@context": "http://www.w3.org/ns/csvw",
        "url": url,
        "tableSchema": {"columns": [_described(column) for column in table.columns]},
        "notes": [dict(table.about)],
    }
    return json.dumps(found, indent=2, ensure_ascii=False)


def _described(column: Column) -> dict[str, Any]:
    """A column as the vocabulary describes it."""
    datatype: dict[str, Any] = {"base": column.type}
    if column.type == "boolean":
        datatype["format"] = "yes|no"
    if column.unit == "share":
        datatype |= {"minimum": 0, "maximum": 1}
    unit = {"schema:unitText": column.unit} if column.unit else {}
    return {"name": column.name, "titles": column.name, "dc:description": column.meaning, "datatype": datatype, **unit}
