"""A document as one HTML file: it needs nothing else, runs nothing, and prints on A4.

Source: *Content Security Policy Level 3* (W3C) for what a page may load: nothing.
"""

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from stickback.export.document import Cell, Document, Picture


def as_html(document: Document) -> str:
    """The document as text; whatever stands in it, it is shown and nothing more."""
    return _template().render(document=document, cell=_cell, picture=_picture)


@cache
def _template() -> Template:
    loader = PackageLoader("stickback.export")
    made = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return made.get_template("document.html")


def _cell(cell: Cell) -> Markup | str:
    return _picture(cell) if isinstance(cell, Picture) else cell


def _picture(one: Picture) -> Markup:
    return Markup(one.svg)  # noqa: S704 - made by `pictures`, which escapes every text
