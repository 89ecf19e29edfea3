"""What a course was read as and how much is wrong with it, and its aircraft sheets, two of them side by side."""

from collections import Counter
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from stickback.amount import many
from stickback.course.asking import titled
from stickback.course.course import Course, Question, Sheet
from stickback.reading import problem as problems
from stickback.reading.problem import Problem
from stickback.services import folder as folders
from stickback.services.aircraft import Changed, Comparison

if TYPE_CHECKING:
    from stickback.services.check import Change


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


def changed(one: "Change") -> str:
    """A question that is not what it was, with the line it stands on, or stood on."""
    return f"{one.question.file}:{one.question.line}: {one.how}: {one.question.title} [{one.question.id}]"


def changes(found: Sequence["Change"], revision: str) -> str:
    """How many questions changed, by how; and what to do where an answer did."""
    from stickback.services.check import HOWS  # it reads the log, as the aircraft sheets do not

    if not found:
        return f"No question changed since {revision}."
    counts = Counter(one.how for one in found)
    said = f"{many(len(found), 'question')} changed since {revision}: "
    said += ", ".join(f"{counts[how]} {how}" for how in HOWS if counts[how]) + "."
    if counts["answer changed"]:
        said += "\nWhere the old answer was wrong, asks=again on the heading lets everyone meet the question as unseen."
    return said


def row(sheet: Sheet) -> tuple[str, str, str]:
    """A sheet in a list: its id, its name, and what its pilot asks first."""
    return sheet.id, sheet.name, f"propeller {sheet.values['propeller']}, {sheet.values['brakes']} brakes"


def same(one: Sheet, other: Sheet) -> str:
    """Said where nothing differs."""
    return f"{one.name} and {other.name} have the same values."


def anew(found: Comparison, other: Sheet) -> str:
    """How much a student who changes has to learn."""
    return f"{many(len(found.changed), 'question')} to learn anew on the {other.name}"


def answers(one: Sheet, other: Sheet, each: Changed) -> tuple[str, ...]:
    """What is right on either."""
    if each.before == each.after:
        return ("same answer, asked with other values",)
    return f"{one.name}: {each.before}", f"{other.name}: {each.after}"


def only(one: Sheet, other: Sheet, found: Comparison) -> list[tuple[str, list[str]]]:
    """What only one of the two is asked, each list under its heading."""
    lists: list[tuple[str, list[Question], Sheet]] = [
        ("no longer asked", found.gone, one),
        ("asked only there", found.new, other),
    ]
    return [
        (f"{many(len(asked), 'question')} {how}", [titled(each, sheet) for each in asked])
        for how, asked, sheet in lists
        if asked
    ]
