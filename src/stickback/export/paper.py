"""A document on paper: as PDF, set by typst, its texts data to the template and no part of it; or as one HTML file.

The HTML file needs nothing else, runs nothing, and prints on A4.

Source: *Content Security Policy Level 3* (W3C) for what a page may load: nothing.
"""

import json
from dataclasses import asdict
from datetime import UTC, datetime, time
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from stickback.amount import HARD_SPACE
from stickback.export.document import Cell, Document, Picture
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
    pages = [[{"kind": kind, **asdict(part), **_figures(part)} for kind, part in page] for page in document.pages()]
    about = {"title": document.title, "foot": document.foot, "pages": pages}
    return json.dumps({**about, "day": list(document.day.timetuple()[:3])})


def _figures(part: object) -> dict[str, list[int]]:
    figures: frozenset[int] | None = getattr(part, "figures", None)
    return {} if figures is None else {"figures": sorted(figures)}


def as_html(document: Document) -> str:
    """The document as text; whatever stands in it, it is shown and nothing more."""
    made = _template().render(document=document, cell=_cell, picture=_picture)
    return made.replace(HARD_SPACE, "&#160;")  # the same to the byte on a terminal, which is given plain spaces


@cache
def _template() -> Template:
    loader = PackageLoader("stickback.export")
    made = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return made.get_template("document.html")


def _cell(cell: Cell) -> Markup | str:
    return _picture(cell) if isinstance(cell, Picture) else cell


def _picture(one: Picture) -> Markup:
    return Markup(one.svg)  # noqa: S704 - made by `pictures`, which escapes every text
