"""For the student: the days to the date, and whether the plan is enough."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from stickback.cli.options import File, write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from stickback.cli.options import Options
    from stickback.readiness.forecast import Band
    from stickback.services.desk import Desk
    from stickback.services.outlook import DayAhead, Outlook
    from stickback.services.weeks import Weeks
    from stickback.study.candidate import Reason

FOR, RANK = "student", 50

_MOST_ROWS = 15
_BEFORE_BAR = 39  # columns that stand before the bar, and its two ends
_LEAST_BAR = 10


@click.command()
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.option("--svg", type=File(dir_okay=False), metavar="FILE", help="Write a picture too.")
@click.option("--why", is_flag=True, help="Say of each of today's questions why it is asked.")
@click.pass_obj
def outlook(options: "Options", as_json: bool, svg: "Path | None", why: bool) -> None:
    """Look ahead to the date, day by day: minutes and what is known.

    What comes of keeping to the plan, worked out from the answers so far; it certifies nothing. The date is the one set
    for the end of the course, else that of the next lesson; with none, what the minutes reach in four weeks.
    """
    from stickback.services import goals

    desk = options.desk()
    dated = bool(goals.occasions(desk.course.plan, desk.student, desk.day))
    told = _to_the_date(desk) if dated else _four_weeks(desk)
    if svg is not None:
        write([(svg, told.picture().encode())])
    if as_json:
        import json

        click.echo(json.dumps(told.data(), indent=2, ensure_ascii=False))
        return
    told.show()
    if why:
        _why(desk, told.why)


class _Told(NamedTuple):
    """An outlook in each of its forms."""

    show: Callable[[], None]
    data: Callable[[], dict[str, Any]]
    picture: Callable[[], str]
    why: "Sequence[tuple[str, Reason]]"


def _to_the_date(desk: "Desk") -> _Told:
    from stickback.services import outlook as service
    from stickback.words import outlook as words

    found = service.outlook(desk)
    return _Told(
        partial(_text, desk, found), partial(words.as_json, desk, found), partial(words.picture, found), found.why
    )


def _four_weeks(desk: "Desk") -> _Told:
    from stickback.services import weeks as service
    from stickback.words import outlook as words

    found = service.weeks(desk)
    return _Told(
        partial(_weeks, desk, found),
        partial(words.weeks_json, desk, found),
        partial(words.weeks_picture, found),
        found.why,
    )


def _weeks(desk: "Desk", found: "Weeks") -> None:
    from stickback.cli.terminal import show
    from stickback.words import outlook as words

    show.heading(words.weeks_title(found))
    show.console().print()
    show.columns(words.weeks_rows(desk, found))
    show.console().print()
    show.say(*words.weeks_sentences(desk, found), indent=0)


def _text(desk: "Desk", found: "Outlook") -> None:
    from stickback.cli.terminal import show
    from stickback.words import outlook as words

    show.heading(words.title(desk, found))
    if found.days:
        show.console().print()
        _chart(found)
    show.console().print()
    show.say(*words.sentences(found), indent=0)


def _chart(found: "Outlook") -> None:
    """A line a day: its figures and, where the screen has room, the band with its middle between nothing and all."""
    from stickback.cli.terminal import show

    wide = show.console().width - _BEFORE_BAR
    drawn = wide >= _LEAST_BAR
    _line(f"  {'':10}  {'Minutes':>7}  {'Asked':>5}  {'Known':>5}" + f"  0{'100 %':>{wide}}" * drawn)
    shown = [found.days[at] for at in _rows(len(found.days))]
    for one in shown:
        _line(_row(one) + f"  {_bar(one.known, wide)}" * drawn)
    drawing = "Each evening: o is what is known, = where it lies in 8 cases of 10." * drawn
    left_out = "Not every day is shown; --json has them all." * (len(shown) < len(found.days))
    if told := " ".join(filter(None, (drawing, left_out))):
        show.console().print()
        show.say(told, style="dim")


def _line(text: str) -> None:
    from rich.text import Text

    from stickback.cli.terminal import show

    show.console().print(Text(text), soft_wrap=True)


def _rows(days: int) -> list[int]:
    """Places of the days shown: the first, the last, and some at equal steps before it."""
    step = -(-(days - 1) // (_MOST_ROWS - 1)) or 1
    return sorted({0, *range(days - 1, 0, -step)})


def _row(one: "DayAhead") -> str:
    from stickback.amount import percent

    day = f"{one.day:%a %d %b}"
    return f"  {day:10}  {one.minutes:7.0f}  {one.questions:5.0f}  {percent(one.known.middle):>5}"


def _bar(known: "Band", wide: int) -> str:
    low, middle, high = (min(int(share * wide), wide - 1) for share in (known.low, known.middle, known.high))
    bar = ["=" if low <= at <= high else " " for at in range(wide)]
    bar[middle] = "o"
    return f"|{''.join(bar)}|"


def _why(desk: "Desk", why: "Sequence[tuple[str, Reason]]") -> None:
    from stickback.cli.terminal import show
    from stickback.course.asking import titled
    from stickback.words import outlook as words

    show.heading("Why today's questions")
    for question, reason in why:
        show.say(titled(desk.course.questions[question], desk.sheet))
        show.say(words.reason(reason), style="dim", indent=4)
    if not why:
        show.say("None is asked today.")
