"""A document as PDF, set by typst: its texts are data to the template, never a part of it."""

import json
from dataclasses import asdict
from datetime import UTC, datetime, time
from importlib.resources import files

from stickback.export.document import Document
from stickback.refused import Refused


def as_pdf(document: Document) -> bytes:
    """The document, tagged for screen readers (PDF/UA-1, ISO 14289-1); the same one gives the same bytes.

    The fonts are those that typst brings along.

    Errors: Refused where typst is not installed.
    """
    try:
        import typst
    except ImportError:
        raise Refused("A PDF needs typst: `pip install 'stickback[pdf]'`; or print the .html file.") from None
    template = files("stickback.export").joinpath("templates/document.typ").read_bytes()
    compiler = typst.Compiler(template, ignore_system_fonts=True, sys_inputs={"document": _data(document)})
    made = compiler.compile(format="pdf", pdf_standards="ua-1", timestamp=datetime.combine(document.day, time(), UTC))
    if not isinstance(made, bytes):
        raise TypeError("typst gave no file")
    return made


def _data(document: Document) -> str:
    """All of it as plain values; a cell that is a picture stays one."""
    parts = [{"kind": kind, **asdict(part), **_figures(part)} for kind, part in document.kinds()]
    about = {"title": document.title, "foot": document.foot, "wide": document.wide, "parts": parts}
    return json.dumps({**about, "day": list(document.day.timetuple()[:3])})


def _figures(part: object) -> dict[str, list[int]]:
    figures: frozenset[int] | None = getattr(part, "figures", None)
    return {} if figures is None else {"figures": sorted(figures)}
