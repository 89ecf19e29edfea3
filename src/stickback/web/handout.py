"""Questions as a page to print, the answers overleaf: one file that needs no other."""

import re
from base64 import b64encode
from mimetypes import guess_type
from pathlib import Path

from jinja2 import Environment, PackageLoader

from stickback.course.course import Course
from stickback.services import lesson as lessons
from stickback.services.handout import Handout
from stickback.web import html

_PICTURE = re.compile(r'src="/picture/([^"]+)"')


def page(course: Course, folder: Path, handout: Handout) -> str:
    """The page, in HTML; its pictures are inside it."""
    made = Environment(loader=PackageLoader("stickback.web"), autoescape=True, trim_blocks=True, lstrip_blocks=True)
    made.globals.update(html=html.html, inline=html.inline)
    notes: dict[str, str] = {}
    for trial in handout.trials:
        notes |= lessons.notes(course, trial.question.why)
    template = made.get_template("handout.html")
    text = template.render(course=course, handout=handout, notes=notes)
    return _PICTURE.sub(lambda match: f'src="{_inside(folder / match[1])}"', text)


def _inside(path: Path) -> str:
    """A picture as an address that holds it; where it cannot be read its own name, and what it shows stands there."""
    try:
        raw = path.read_bytes()
    except OSError:
        return path.name
    return f"data:{guess_type(path.name)[0] or 'image/svg+xml'};base64,{b64encode(raw).decode()}"
