"""What a course was read as, and how much is wrong with it."""

from collections import Counter
from collections.abc import Collection, Sequence
from pathlib import Path

from stickback.amount import many
from stickback.course.course import Course, Question
from stickback.reading import problem as problems
from stickback.reading.problem import Problem
from stickback.services import folder as folders
from stickback.services.check import HOWS, Change


def read_as(question: Question) -> str:
    """How a question was read: its kind, what it holds, and whom alone it is for."""
    only = "".join(f", only {key}={value}" for key, value in question.only.items())
    return f"{question.kind}, {question.body.describe()}{only}"


def named(course: Course, folder: Path) -> str:
    """Which course was read: its title, and where it lies."""
    shipped = folder.resolve() == folders.shipped().resolve()
    where = "the course that ships" if shipped else str(folder.resolve())
    return f"{course.plan.title} ({where})" if course.plan.title else where


def summary(course: Course, names: Collection[str], found: Sequence[Problem]) -> str:
    """How much was read and how much is wrong, in one line.

    Args:
        names: the files it is about; none means all.
    """
    errors = len(problems.errors(list(found)))
    questions = sum(not names or question.file in names for question in course.questions.values())
    left = sum(not names or file in names for file, _ in course.left_out)
    parts = [many(questions, "question"), many(errors, "error"), many(len(found) - errors, "warning")]
    return ", ".join(parts) + (f"; {many(left, 'question')} left out of reviews" if left else "") + "."


def changed(one: Change) -> str:
    """A question that is not what it was, with the line it stands on, or stood on."""
    return f"{one.question.file}:{one.question.line}: {one.how}: {one.question.title} [{one.question.id}]"


def changes(found: Sequence[Change], revision: str) -> str:
    """How many questions changed, by how; and what to do where an answer did."""
    if not found:
        return f"No question changed since {revision}."
    counts = Counter(one.how for one in found)
    said = f"{many(len(found), 'question')} changed since {revision}: "
    said += ", ".join(f"{counts[how]} {how}" for how in HOWS if counts[how]) + "."
    if counts["answer changed"]:
        said += "\nWhere the old answer was wrong, asks=again on the heading lets everyone meet the question as unseen."
    return said
