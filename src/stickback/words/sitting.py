"""What a sitting says, in the words both of its forms share."""

import math
from dataclasses import dataclass, replace

from stickback.amount import many
from stickback.course.asking import in_words
from stickback.kinds.shown import Compared, Mark, Point, Values
from stickback.reading import text as texts
from stickback.reading.text import Paragraph
from stickback.services import progress
from stickback.services.desk import Desk
from stickback.services.marking import Marked
from stickback.services.progress import Closing
from stickback.services.review import Done, Session, Step


def place(desk: Desk, step: Step) -> tuple[str, str]:
    """Where the sitting is, `8 min left · Lesson 5`, and what it is at, `Why the nose swings · once more`.

    It counts down and never up: minutes or, where only their number was asked for, questions.
    """
    topic = desk.course.plan.topics[step.question.topic]
    number = next(lesson.number for lesson in desk.course.plan.lessons if lesson.id == topic.lesson)
    again = "once more" if step.again else "new on this aeroplane" if step.elsewhere else ""
    return f"{left(step)} · Lesson {number}", " · ".join(part for part in (topic.title, again) if part)


def left(step: Step) -> str:
    """What is left, `8 min left`; where only a number of questions was asked for, how many of them."""
    if math.isfinite(step.seconds_left):
        return f"{max(1, math.ceil(step.seconds_left / 60))} min left"
    return "the last one" if step.left == 1 else f"{step.left} questions left"


@dataclass(frozen=True, kw_only=True)
class Feedback:
    """What is said of an answer, in the order in which it is said; what there is nothing to say of is empty.

    Args:
        quoted: the answer given, said again where that says anything, and what the points below it are.
        points: what the answer was, a line each, with what was left out or should not have been said.
        why: in short: the first sentence where it was right, else the first paragraph.
        follows: when the question comes back, in one sentence.
    """

    verdict: str
    quoted: str
    points: list[str]
    remarks: tuple[str, ...]
    why: str
    follows: str

    @property
    def lines(self) -> list[str]:
        """All but when it comes back, in lines."""
        return [line for line in (self.verdict, self.quoted, *self.points, *self.remarks, self.why) if line]


def feedback(step: Step, marked: Marked, *, gone: bool = False) -> Feedback:
    """What is said of an answer.

    Args:
        gone: the options of the question are not to be seen any more: then letters mean nothing.
    """
    return Feedback(
        verdict=verdict(marked.mark),
        quoted=_quoted(marked, step.values if gone else None),
        points=lines(marked.compared, step.values, gone=gone),
        remarks=marked.mark.remarks,
        why=_why(step, marked),
        follows=_follows(marked),
    )


def verdict(mark: Mark) -> str:
    """The first word after an answer."""
    return "✓ Right." if mark.right else "✗ Not right."


def _follows(marked: Marked) -> str:
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


def _quoted(marked: Marked, gone: Values | None) -> str:
    compared = marked.compared
    if not compared.said or (marked.mark.right and not compared.example):
        return ""
    said = compared.said if gone is None else in_words(compared, gone)
    return f"You said {said}. {'For example' if marked.mark.right else 'Right is'}:"


def lines(compared: Compared, values: Values, *, gone: bool = False) -> list[str]:
    """The right answer, a line each, with what was left out or should not have been said; `gone` as in `feedback`."""
    found = compared.points
    if len(found) > 1 and all(point.said and not point.fails for point in found):
        return [f"All {len(found)} said."]
    return [_point(replace(point, label="") if gone else point, values) for point in found]


def listened(point: Point, values: Values) -> str:
    """A point as it is listened for: "Stick back (a must)"."""
    means = meaning(point)
    return f"{texts.line(point.text, values)}{f' ({means})' if means else ''}"


def meaning(point: Point) -> str:
    """What it means to leave a point out or to say it; empty where it is one among others."""
    return "a must" if point.must else "fails the answer if said" if point.fails else ""


def _point(point: Point, values: Values) -> str:
    sign = point.label if point.said is None else "✓" if point.said != point.fails else "✗"
    before = "".join(f"{part}  " for part in (point.place, sign) if part)
    return f"{before}{texts.line(point.text, values)}{_note(point)}"


def _note(point: Point) -> str:
    if point.said is None:
        return ""
    if point.fails:
        return "  (said, and it fails the answer)"
    return "" if point.said else "  (not said, a must)" if point.must else "  (not said)"


def _why(step: Step, marked: Marked) -> str:
    if marked.mark.right:
        return texts.first_sentence(marked.why, step.values)
    first = texts.tree(marked.why[:1], step.values)[:1]
    return texts.plain(first[0].spans) if first and isinstance(first[0], Paragraph) else ""


def more(marked: Marked) -> str:
    """What there is beyond the short of why, in a few words; empty where there is nothing."""
    noted = "sources" if texts.notes(marked.why) else ""
    return " and ".join(part for part in ("all of why" if goes_on(marked) else "", noted) if part)


def goes_on(marked: Marked) -> bool:
    """Whether why says more than was shown of it."""
    return bool(marked.why) and (marked.mark.right or len(marked.why) > 1)


def closing(session: Session, end: Done | None) -> list[str]:
    """The last sentences of a sitting: how it ended, what it brought, and what returns when.

    Args:
        end: None where the student left; that every answer is kept is said last, by `kept`.
    """
    return ending(progress.closing(session.desk), end, session.minutes)


def ending(day: Closing, end: Done | None, minutes: int) -> list[str]:
    """The last sentences of a day that came to this; `end` as in `closing`."""
    if end and end.reason == "nothing":
        return ["Nothing to review today: all that you have seen is still fresh."]
    score = f"{many(day.answered, 'answer')} today, {day.right} right."
    ends = {
        "plan": f"That is today's review. {score}",
        "minutes": f"Your {many(minutes, 'minute')} {'is' if minutes == 1 else 'are'} up. {score}",
        "questions": f"That is the number you asked for. {score}",
    }
    found = [ends[end.reason]] if end else [score] if day.answered else []
    gained = [f"{many(day.gained, 'question')} right for the first time."] if day.gained else []
    return [*found, *gained, *_returns(day)]


def _returns(day: Closing) -> list[str]:
    """When what was asked comes back."""
    when = ((day.tomorrow, "tomorrow"), (day.week, "within a week"), (day.later, "later"))
    parts = [f"{number} {word}" for number, word in when if number]
    return [f"Coming back: {', '.join(parts)}."] if parts else []


def kept(review: str) -> str:
    """Said last to a student who leaves; `review` is what goes on, as the shell calls it."""
    return f"Left here: every answer so far is kept, and {review} goes on from this point."


FLAGGED = "Flagged: the instructor sees it beside the question."
NOT_FLAGGED = "Not flagged."
PASSED = "Passed over for today."
TAKEN_BACK = "Taken back: it counts for nothing, and the question comes back another day."
