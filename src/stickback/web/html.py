"""A tree of text as HTML, everything escaped, pictures with what they show; and questions as a page to print."""

import re
from base64 import b64encode
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from mimetypes import guess_type
from pathlib import Path
from urllib.parse import quote, unquote

from jinja2 import Environment, PackageLoader
from markupsafe import Markup, escape

from stickback.course.course import Course
from stickback.pictures import figure
from stickback.readiness.forecast import Band
from stickback.reading import text as texts
from stickback.reading.markup import Block
from stickback.reading.text import Code, Figure, Heading, Items, Node, Paragraph, Picture, Quote, Spans, Table
from stickback.services.try_ import Handout
from stickback.words import sitting


def html(blocks: Iterable[Block], values: Mapping[str, str], notes: Collection[str] | None = None) -> Markup:
    """Blocks with their values filled in.

    Args:
        notes: the footnotes of the page, in the order in which they are numbered; by itself those of the blocks.
    """
    blocks = tuple(blocks)
    return _Written(texts.notes(blocks) if notes is None else list(notes)).nodes(texts.tree(blocks, values))


def inline(text: str, values: Mapping[str, str]) -> Markup:
    """One heading, option or point."""
    return _Written([]).spans(texts.spans(text, values))


@dataclass(frozen=True)
class _Written:
    """Text as HTML, its footnotes by their numbers."""

    notes: list[str]

    def nodes(self, nodes: Iterable[Node]) -> Markup:
        return Markup("\n").join(map(self._node, nodes))

    def _node(self, node: Node) -> Markup:
        if isinstance(node, Paragraph):
            return _tag("p", self.spans(node.spans))
        if isinstance(node, Heading):
            return _tag(f"h{min(node.level + 1, 6)}", self.spans(node.spans))
        if isinstance(node, Items):
            items = Markup("").join(_tag("li", self._item(item)) for item in node.items)
            return _tag("ol" if node.numbered else "ul", items)
        if isinstance(node, Quote):
            return _tag("blockquote", self.nodes(node.inside))
        if isinstance(node, Code):
            return _tag("pre", escape(node.text))
        if isinstance(node, Table):
            return self._table(node)
        if isinstance(node, Figure):
            return _figure(node.words)
        return _picture(node)

    def _item(self, nodes: tuple[Node, ...]) -> Markup:
        """An item of a list; one that is a single paragraph stands without a margin of its own."""
        if len(nodes) == 1 and isinstance(nodes[0], Paragraph):
            return self.spans(nodes[0].spans)
        return self.nodes(nodes)

    def _table(self, node: Table) -> Markup:
        head, *rows = node.rows
        cells = Markup("").join(_tag("th", self.spans(cell)) for cell in head)
        body = (_tag("tr", Markup("").join(_tag("td", self.spans(cell)) for cell in row)) for row in rows)
        inside = _tag("thead", _tag("tr", cells)) + _tag("tbody", Markup("").join(body))
        return Markup('<div class="wide" role="region" aria-label="Table" tabindex="0">{}</div>').format(
            _tag("table", inside)
        )

    def spans(self, spans: Spans) -> Markup:
        """Runs of text; a footnote is its number, which leads to the sources below."""
        found = Markup("")
        for span in spans:
            made = self._note(span.text) if span.note else escape(span.text)
            for wanted, name in ((span.code, "code"), (span.italic, "em"), (span.bold, "strong")):
                made = _tag(name, made) if wanted and not span.note else made
            found += made
        return found

    def _note(self, key: str) -> Markup:
        number = self.notes.index(key) + 1 if key in self.notes else key
        return Markup('<sup><a href="#source-{0}" aria-label="source {1}">{1}</a></sup>').format(key, number)


def bar(known: Band) -> Markup:
    """A figure with its band as a bar: a line from nothing to all, the band on it, and a tick where the figure lies."""
    low, middle, high = (round(100 * share, 1) for share in (known.low, known.middle, known.high))
    return Markup(
        '<svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true" fill="currentColor">'
        '<path d="M0 6H100" stroke="currentColor" opacity=".4"/>'
        '<rect x="{0}" y="4" width="{1}" height="4" opacity=".55"/>'
        '<rect x="{2}" width="2" height="12"/></svg>'
    ).format(low, round(max(high - low, 1), 1), min(middle, 98))


def _figure(words: Mapping[str, str]) -> Markup:
    """A figure drawn in the page, so that it takes the page's own colour; its sentence stands in it."""
    return Markup("<figure>{}</figure>").format(Markup(figure.draw(words)))  # noqa: S704 - our own, its texts escaped


def _picture(node: Picture) -> Markup:
    return Markup('<figure><img src="/picture/{}" alt="{}" loading="lazy"></figure>').format(quote(node.path), node.alt)


def _tag(name: str, inside: Markup) -> Markup:
    return Markup(f"<{name}>{{}}</{name}>").format(inside)  # noqa: S704 - the name is one of ours


_PICTURE = re.compile(r'src="/picture/([^"]+)"')


def handout(course: Course, folder: Path, handout: Handout) -> str:
    """The page, in HTML; its pictures are inside it."""
    made = Environment(loader=PackageLoader("stickback.web"), autoescape=True, trim_blocks=True, lstrip_blocks=True)
    made.globals.update(html=html, inline=inline, meaning=sitting.meaning)
    notes: dict[str, str] = {}
    for trial in handout.trials:
        notes |= texts.sources(trial.question.why, course.sources)
    template = made.get_template("handout.html")
    text = template.render(course=course, handout=handout, notes=notes)
    return _PICTURE.sub(lambda match: f'src="{_inside(folder / unquote(match[1]))}"', text)


def _inside(path: Path) -> str:
    """A picture as an address that holds it; where it cannot be read its own name, and what it shows stands there."""
    try:
        raw = path.read_bytes()
    except OSError:
        return path.name
    return f"data:{guess_type(path.name)[0] or 'image/svg+xml'};base64,{b64encode(raw).decode()}"
