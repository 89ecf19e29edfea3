"""A report as files: the same rows and sentences in every form."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from stickback.export import paper, table, text, workbook
from stickback.export.document import Document
from stickback.export.table import Table
from stickback.services.readiness import Report
from stickback.words import page, tables
from stickback.words import readiness as words

_PAPER: dict[str, Callable[[Document], str | bytes]] = {
    "text": lambda made: "\n".join([*text.lines(made), ""]),
    "html": paper.as_html,
    "pdf": paper.as_pdf,
}


def files(report: Report, form: str, name: str, *, topics: bool) -> list[tuple[str, bytes]]:
    """The files of a form by their names, the one asked for first; CSV has its description beside it.

    Args:
        form: csv, json, xlsx, html, pdf or text.
        name: of the file; empty where it is none.
        topics: of CSV and text, a row for each topic too.
    """
    if form == "csv":
        return sheet(tables.topics(report) if topics else tables.overview(report), name)
    if form == "json":
        return [(name, f"{table.as_json(tables.overview(report), _inner(report), 'student')}\n".encode())]
    if form == "xlsx":
        made = {"overview": tables.overview(report), **_inner(report)}
        return [(name, workbook.as_workbook(made, list(_told(tables.about(report))), report.day))]
    return [(name, printed(page.document(report, topics=topics or form != "text"), form))]


def _inner(report: Report) -> dict[str, Table]:
    """What stands below the overview, several rows a student."""
    return {"topics": tables.topics(report), "flown": tables.flown(report), "orals": tables.orals(report)}


def weekly(report: Report, form: str, name: str) -> list[tuple[str, bytes]]:
    """How it was week by week, in the forms of a table.

    Args:
        form: csv, json, xlsx or text.
    """
    made = tables.weekly(report)
    if form == "csv":
        return sheet(made, name)
    if form == "json":
        return [(name, f"{table.as_json(made, {}, 'week')}\n".encode())]
    if form == "xlsx":
        return [(name, workbook.as_workbook({"weekly": made}, list(_told(tables.about(report))), report.day))]
    lines = text.table(words.weekly(report.pages), text.WIDE, 0)
    return [(name, "\n".join([*lines, ""]).encode())]


def printed(made: Document, form: str) -> bytes:
    """A document in a form to read or print: text, html or pdf."""
    found = _PAPER[form](made)
    return found if isinstance(found, bytes) else found.encode()


def sheet(made: Table, name: str) -> list[tuple[str, bytes]]:
    """A table as CSV, with its description where it is a file."""
    # A spreadsheet takes a file without the mark for its own country's encoding.
    content = table.as_csv(made).encode("utf-8-sig" if name else "utf-8")
    beside = [(f"{name}-metadata.json", table.metadata(made, name).encode())] if name else []
    return [(name, content), *beside]


def _told(about: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What every export carries, as rows of texts; the calibration of each student is left to JSON."""
    for name, value in about.items():
        if name == "calibration":
            yield "calibration", str(value["school"]["note"])
        elif isinstance(value, Mapping):
            yield name, "; ".join(f"{key}: {_listed(each)}" for key, each in value.items())
        else:
            yield name, str(value)


def _listed(value: object) -> str:
    return ", ".join(map(str, value)) or "none" if isinstance(value, list) else str(value)
