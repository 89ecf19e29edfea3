"""What a sitting says, in the words both of its forms share."""

import math

from stickback.amount import many
from stickback.kinds.protocol import Point
from stickback.reading import text as texts
from stickback.services.desk import Desk
from stickback.services.review import Done, Marked, Step


def progress(desk: Desk, step: Step) -> str:
    """Where the sitting is: `3 of about 20 · 8 min left · Lesson 5 · Why the nose swings`."""
    topic = desk.course.plan.topics[step.question.topic]
    number = next(lesson.number for lesson in desk.course.plan.lessons if lesson.id == topic.lesson)
    total = step.number + step.left - 1
    parts = [f"{step.number} of {'about ' if math.isfinite(step.seconds_left) else ''}{total}"]
    parts += filter(None, [left(step)])
    parts += [f"Lesson {number}", topic.title]
    if step.again:
        parts.append("once more")
    elif step.elsewhere:
        parts.append("new on this aeroplane")
    return " · ".join(parts)


def left(step: Step) -> str:
    """What is left of the day: `8 min left`; nothing where there is no budget of minutes."""
    return f"{max(1, math.ceil(step.seconds_left / 60))} min left" if math.isfinite(step.seconds_left) else ""


def verdict(marked: Marked) -> str:
    """The first word after an answer."""
    return "✓ Right." if marked.mark.right else "✗ Not right."


def follows(marked: Marked) -> str:
    """When the question comes back, in one sentence."""
    if marked.again_today:
        again = "It comes back in a moment"
        if marked.sure_but_wrong:
            return f"You were sure: {again[0].lower()}{again[1:]}, then tomorrow, until it has been right on two days."
        return f"{again}."
    if marked.next_days is None:
        return "Practice: the first answer of the day is the one that counts."
    if marked.next_days == 1:
        return "It comes back tomorrow."
    return f"It comes back in about {many(marked.next_days, 'day')}."


def quoted(marked: Marked) -> list[str]:
    """The answer given, said again where that says anything, and what the lines below it are."""
    told = marked.told
    if not told.said or (marked.mark.right and not told.example):
        return []
    return [f"You said {told.said}. {'For example' if marked.mark.right else 'Right is'}:"]


def points(step: Step, marked: Marked) -> list[str]:
    """What the answer was, a line each, with what was left out or should not have been said."""
    found = marked.told.points
    if len(found) > 1 and all(point.said and not point.fails for point in found):
        return [f"All {len(found)} said."]
    return [_point(step, point) for point in found]


def _point(step: Step, point: Point) -> str:
    sign = point.label if point.said is None else "✓" if point.said != point.fails else "✗"
    return f"{sign}  {texts.line(point.text, step.values)}{_note(point)}".lstrip()


def _note(point: Point) -> str:
    if point.said is None:
        return ""
    if point.fails:
        return "  (said, and it fails the answer)"
    return "" if point.said else "  (not said, a must)" if point.must else "  (not said)"


def done(end: Done, minutes: int) -> str:
    """The last sentence of a sitting."""
    score = f"{many(end.asked, 'answer')} today, {end.right} right."
    return {
        "nothing": "Nothing to review today: all that you have seen is still fresh.",
        "plan": f"That is today's review. {score}",
        "minutes": f"Your {many(minutes, 'minute')} {'is' if minutes == 1 else 'are'} up. {score}",
        "questions": f"That is the number you asked for. {score}",
    }[end.reason]


LEFT = "Left here: every answer so far is kept, and `stickback review` goes on from this point."
