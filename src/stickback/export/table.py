"""A table of named columns as CSV, JSON and an Excel workbook, and what a reader must know beside it."""

import csv
import io
import json
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any, NamedTuple

from stickback.refused import Refused

Cell = str | int | float | bool | None | tuple[str, ...]

SEPARATOR = "; "  # between the texts of one cell
_WIDEST, _NARROWEST = 60, 6  # characters of a column of a workbook
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")  # full-width signs count too in some spreadsheets


class Column(NamedTuple):
    """A column, and what a reader must know of it.

    Args:
        type: `string`, `strings` (several in a cell), `integer`, `number`, `boolean` or `date`, as CSV on the Web names
            them.
        unit: such as `day`; a `share` is a number from 0 to 1; empty where there is none.
        meaning: in words.
        of: its value, from what a row is about.
        least, most: the range of a number; None where it has no end.
        words: the texts it can have; none: any.
        rows: what the rows that have it are about, where one list of columns serves several tables.
    """

    name: str
    type: str
    unit: str
    meaning: str
    of: Callable[[Any], Cell]
    least: float | None = None
    most: float | None = None
    words: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()

    @property
    def range(self) -> tuple[float | None, float | None]:
        """The least and the greatest value; those of a share are 0 and 1."""
        return (0, 1) if self.unit == "share" else (self.least, self.most)


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

    def named(self) -> list[dict[str, Cell]]:
        """The rows by the names of the columns."""
        return [dict(zip(self.names, row, strict=True)) for row in self.rows]


def told(column: Column) -> str:
    """A column in words: "known on the date; number, share, 0 to 1"."""
    least, most = column.range
    parts = [column.type, column.unit, " · ".join(column.words)]
    if least is not None:
        parts.append(f"{least:g} to {most:g}" if most is not None else f"{least:g} or more")
    return f"{column.meaning}; {', '.join(part for part in parts if part)}"


def as_csv(table: Table) -> str:
    """RFC 4180 with the columns as its head; a text that a spreadsheet would run as a formula gets a leading `'`."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.names)
    writer.writerows([[_cell(cell) for cell in row] for row in table.rows])
    return out.getvalue()


def _cell(cell: Cell) -> str | int | float | None:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, tuple):
        cell = joined(cell)
    if isinstance(cell, str) and _risky(cell):
        return f"'{cell}"
    return cell


def plain(cell: str) -> str:
    """A cell of a CSV file without the `'` that kept it from being run as a formula."""
    return cell[1:] if cell.startswith("'") and _risky(cell[1:]) else cell


def _risky(text: str) -> bool:
    # With a `'` before it too, else it could not be told from one that was guarded.
    return text.lstrip("'").startswith(_FORMULA)


def joined(cell: str | tuple[str, ...]) -> str:
    """The texts of a cell as one."""
    return cell if isinstance(cell, str) else SEPARATOR.join(each.replace(SEPARATOR, ", ") for each in cell)


def as_json(outer: Table, inner: Mapping[str, Table], by: str) -> str:
    """The same names and values: an object a row of the outer table, the rows of the others within it.

    Args:
        inner: by the name under which their rows stand; `by`: the column that says which row they belong to.
    """
    rows: list[dict[str, Any]] = [dict(row) for row in outer.named()]
    for name, table in inner.items():
        nested: dict[Cell, list[dict[str, Cell]]] = {}
        for row in table.named():
            nested.setdefault(row.pop(by), []).append(row)
        rows = [row | {name: nested.get(row[by], [])} for row in rows]
    found = {**outer.about, f"{by}s": rows}
    return json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False)


def metadata(table: Table, url: str) -> str:
    """What stands beside a CSV file. Source: W3C, *Metadata Vocabulary for Tabular Data* (CSV on the Web), 2015."""
    found = {
        "@context": "http://www.w3.org/ns/csvw",
        "url": url,
        "dialect": {"encoding": "utf-8", "lineTerminators": ["\r\n"]},
        "tableSchema": {"columns": [_described(column) for column in table.columns]},
        "notes": [dict(table.about)],
    }
    return json.dumps(found, indent=2, ensure_ascii=False)


def _described(column: Column) -> dict[str, Any]:
    """A column as the vocabulary describes it."""
    several = column.type == "strings"
    datatype: dict[str, Any] = {"base": "string" if several else column.type}
    if column.type == "boolean":
        datatype["format"] = "yes|no"
    if column.words:
        datatype["format"] = "|".join(column.words)
    least, most = column.range
    ends = {"minimum": least, "maximum": most}
    datatype |= {name: value for name, value in ends.items() if value is not None}
    found = {"name": column.name, "titles": column.name, "dc:description": column.meaning, "datatype": datatype}
    if column.unit:
        found["schema:unitText"] = column.unit
    return found | ({"separator": SEPARATOR} if several else {})


def as_workbook(tables: Mapping[str, Table], about: Sequence[tuple[str, str]], made: date) -> bytes:
    """An Excel workbook (Office Open XML): a sheet for each table, and one that says where they come from.

    The same tables and day give the same bytes. No text in it is run as a formula or followed.

    Args:
        tables: by the name of their sheet.
        about: what the last sheet says, a row each; below it stands what each column means.
    Errors: Refused where xlsxwriter is not installed.
    """
    try:
        import xlsxwriter
    except ImportError:
        raise Refused("An .xlsx file needs xlsxwriter: `pip install 'stickback[school]'`; or write .csv.") from None
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}) as book:
        book.set_properties({"author": "stickback", "created": datetime.combine(made, time(), UTC)})
        looks = {
            "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
            "share": book.add_format({"num_format": "0 %"}),
            "date": book.add_format({"num_format": "yyyy-mm-dd"}),
            "text": book.add_format({"text_wrap": True, "valign": "top"}),
        }
        for name, table in tables.items():
            _sheet(book.add_worksheet(name), table, looks)
        _about(book.add_worksheet("about"), tables, about, looks)
    return out.getvalue()


def _sheet(sheet: Any, table: Table, looks: Mapping[str, Any]) -> None:
    for at, column in enumerate(table.columns):
        cells = [row[at] for row in table.rows]
        look = looks["share"] if column.unit == "share" else looks["date"] if column.type == "date" else None
        longest = max((len(joined(cell)) for cell in cells if isinstance(cell, str | tuple)), default=_NARROWEST)
        sheet.set_column(at, at, min(max(longest, len(column.name), _NARROWEST) + 1, _WIDEST))
        sheet.write_string(0, at, column.name, looks["head"])
        for row, cell in enumerate(cells, 1):
            _write(sheet, row, at, cell, look)
    sheet.freeze_panes(1, 1)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)


def _write(sheet: Any, row: int, at: int, cell: Cell, look: Any) -> None:
    """A cell as what it is; a text is a text, whatever it looks like."""
    if cell is None:
        return
    if look is not None and isinstance(cell, str):
        sheet.write_datetime(row, at, datetime.combine(date.fromisoformat(cell), time()), look)
    elif isinstance(cell, bool):
        sheet.write_string(row, at, "yes" if cell else "no")
    elif isinstance(cell, str | tuple):
        sheet.write_string(row, at, joined(cell))
    else:
        sheet.write_number(row, at, cell, look)


def _about(sheet: Any, tables: Mapping[str, Table], about: Sequence[tuple[str, str]], looks: Mapping[str, Any]) -> None:
    rows = [*about, ("", ""), *_meanings(tables)]
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 1, 90)
    for at, (name, text) in enumerate(rows):
        sheet.write_string(at, 0, name, looks["head"] if name else None)
        sheet.write_string(at, 1, text, looks["text"])


def _meanings(tables: Mapping[str, Table]) -> Iterator[tuple[str, str]]:
    """What each column means; one that means something else on another sheet says on which it means this."""
    sheets: dict[tuple[str, str], list[str]] = {}
    for sheet, table in tables.items():
        for column in table.columns:
            sheets.setdefault((column.name, told(column)), []).append(sheet)
    often = Counter(name for name, _ in sheets)
    for (name, meaning), where in sheets.items():
        yield f"{name} ({', '.join(where)})" if often[name] > 1 else name, meaning
