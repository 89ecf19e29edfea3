"""Tables as an Excel workbook (Office Open XML): a sheet each, and one that says where they come from."""

import io
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time
from typing import Any

from stickback.export.table import Cell, Table, joined, told
from stickback.refused import Refused

_WIDEST, _NARROWEST = 60, 6  # characters of a column


def as_workbook(tables: Mapping[str, Table], about: Sequence[tuple[str, str]], made: date) -> bytes:
    """The workbook; the same tables and day give the same bytes. No text in it is run as a formula or followed.

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
        longest = max((len(str(cell)) for cell in cells if isinstance(cell, str)), default=_NARROWEST)
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
    columns = {column.name: column for table in tables.values() for column in table.columns}
    rows = [*about, ("", ""), *((name, told(column)) for name, column in columns.items())]
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 1, 90)
    for at, (name, text) in enumerate(rows):
        sheet.write_string(at, 0, name, looks["head"] if name else None)
        sheet.write_string(at, 1, text, looks["text"])
