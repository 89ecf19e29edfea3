"""For the student: today at a glance, which is shown when no command is named."""

import shlex
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.services.desk import Desk
    from stickback.services.today import Glance
    from stickback.study.debrief import Weak


def glance(options: "Options") -> None:
    """Today in a few lines."""
    from stickback.cli.terminal import show
    from stickback.reading import text as texts
    from stickback.services import today

    desk = options.desk()
    seen = today.glance(desk)
    out = show.console()
    out.print()
    show.say(*_greeting(desk, seen), style="bold", indent=0)
    if seen.weakest:
        show.heading("Weakest now")
        show.columns(
            (texts.line(one.topic.title, desk.sheet.values), _state(one), f"stickback lesson {one.topic.id}")
            for one in seen.weakest
        )
    show.heading("Ahead")
    show.columns(_ahead(desk))
    out.print()
    show.say(_next(seen), indent=0)


def _state(one: "Weak") -> str:
    from stickback import amount

    if one.misbeliefs:
        return "sure but wrong"
    return "seen in flight" if one.errors or one.known is None else amount.percent(one.known)


def _greeting(desk: "Desk", seen: "Glance") -> list[str]:
    from stickback.amount import many

    away = seen.away or 0
    welcome = ["Welcome back. What matters for safety and this aeroplane's numbers come first."] if away >= 21 else []
    if not desk.questions:
        return ["No question of this course can be asked on this aeroplane; `stickback check` says why."]
    if not seen.questions:
        done = "Today's review is done." if seen.asked else "Nothing to review today: all that you have seen is fresh."
        return [*welcome, done]
    about = " and ".join(title.partition(": ")[2] or title for title in seen.about).lower()
    return [*welcome, f"{many(seen.minutes, 'minute')}, about {many(seen.questions, 'question')}, mostly {about}."]


def _ahead(desk: "Desk") -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("Aeroplane", f"{desk.sheet.name} ({desk.sheet.values['callsign']})")]
    student = desk.student
    if student.next_lesson is not None:
        lesson = next((one for one in desk.course.plan.lessons if one.id == student.next_lesson), None)
        title = lesson.title if lesson else student.next_lesson
        when = f", {_in_days(desk.day, student.next_on)}" if student.next_on else ""
        rows.append(("Next lesson", f"{title}{when}"))
    word = desk.course.plan.ends_with.capitalize()
    if student.checkride is not None:
        rows.append((word, _in_days(desk.day, student.checkride)))
    else:
        rows.append((word, f"no date yet: stickback student set {shlex.quote(student.name)} --checkride DATE"))
    return rows


def _in_days(today: date, day: date) -> str:
    days = (day - today).days
    words = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    return f"{day:%d %B %Y} ({words.get(days) or (f'in {days} days' if days > 0 else f'{-days} days ago')})".lstrip("0")


def _next(seen: "Glance") -> str:
    if seen.questions:
        return "stickback review   starts it. stickback --help   lists the rest."
    return "stickback review --lesson LESSON   practises one lesson. stickback --help   lists the rest."
