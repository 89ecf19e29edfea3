"""Today at a glance."""

from stickback.amount import many, percent
from stickback.services.desk import Desk
from stickback.services.today import Glance
from stickback.study.debrief import Weak
from stickback.words import terms

LONG_AWAY = 21  # days


def greeting(desk: Desk, seen: Glance) -> list[str]:
    """What today holds; never what waits."""
    back = "Welcome back. What matters for safety and this aeroplane's numbers come first."
    welcome = [back] if (seen.away or 0) >= LONG_AWAY else []
    if not desk.questions:
        return ["No question of this course can be asked on this aeroplane."]
    if not seen.questions:
        nothing = "Nothing to review today: all that you have seen is fresh."
        return [*welcome, "Today's review is done." if seen.answered else nothing]
    about = " and ".join(f"“{title.partition(': ')[2] or title}”" for title in seen.about)
    return [*welcome, f"{many(seen.minutes, 'minute')}, about {many(seen.questions, 'question')}, mostly {about}."]


def state(one: Weak) -> str:
    """Why a topic is weak, in a word or two."""
    if one.misbeliefs:
        return "sure but wrong"
    return "seen in flight" if one.errors or one.known is None else percent(one.known)


def ahead(desk: Desk) -> list[tuple[str, str]]:
    """The aeroplane and the dates ahead, each by its name; a date that is not set is empty."""
    student = desk.student
    rows = [("Aeroplane", f"{desk.sheet.name} ({desk.sheet.values['callsign']})")]
    if student.next_lesson is not None:
        when = f", {terms.ahead(desk.day, student.next_on)}" if student.next_on else ""
        rows.append(("Next lesson", f"{terms.lesson(desk.course, student.next_lesson)}{when}"))
    checkride = terms.ahead(desk.day, student.checkride) if student.checkride else ""
    return [*rows, (terms.end(desk.course).capitalize(), checkride)]
