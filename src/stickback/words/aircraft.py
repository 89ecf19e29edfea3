"""The aircraft sheets, and two of them side by side."""

from stickback.amount import many
from stickback.course.asking import titled
from stickback.course.course import Question, Sheet
from stickback.services.aircraft import Changed, Comparison


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
