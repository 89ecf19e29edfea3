"""A table of named columns as CSV and JSON, and what a reader must know beside it."""

import csv
import io
import json
import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

Cell = str | int | float | bool | None

_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True)
class Table:
    """Rows under named columns; an empty cell is None.

    Args:
        about: what every export carries: course revision, program version and the like.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    about: Mapping[str, Any]


def as_csv(table: Table) -> str:
    """RFC 4180 with the columns as its head; a text that a spreadsheet would run as a formula gets a leading `'`."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.columns)
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
        named = dict(zip(table.columns, row, strict=True))
        nested.setdefault(named.pop(group), []).append(named)
    groups = [{group: name, "rows": rows} for name, rows in nested.items()]
    return json.dumps({**table.about, f"{group}s": groups}, indent=2, ensure_ascii=False, allow_nan=False)


def metadata(table: Table, url: str) -> str:
    """What stands beside a CSV file. Source: W3C, *Metadata Vocabulary for Tabular Data* (CSV on the Web), 2015."""
    found = {
        "@context": "http://www.w3.org/ns/csvw",
        "url": url,
        "tableSchema": {"columns": [{"name": name, "titles": name} for name in table.columns]},
        "notes": [dict(table.about)],
    }
    return json.dumps(found, indent=2, ensure_ascii=False)


def write_whole(files: Sequence[tuple[Path, bytes]]) -> None:
    """Writes files, all of them or none: each beside its place first, then moved there.

    Errors: OSError, with everything as it was.
    """
    staged: list[tuple[Path, Path]] = []
    try:
        for path, content in files:
            staged.append((_staged(path, content), path))
        _move(staged)
    finally:
        for new, _ in staged:
            new.unlink(missing_ok=True)


def _staged(path: Path, content: bytes) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        new.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask())
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    return new


def _move(staged: Sequence[tuple[Path, Path]]) -> None:
    """Moves each new file to its place; where one cannot be moved, those moved before it are put back."""
    before = [(path, path.read_bytes() if path.exists() else None) for _, path in staged]
    for number, (new, path) in enumerate(staged):
        try:
            new.replace(path)
        except OSError:
            for moved, content in before[:number]:
                moved.unlink() if content is None else moved.write_bytes(content)
            raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
