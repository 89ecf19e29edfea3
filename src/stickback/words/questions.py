"""How questions behave, as a table and in sentences."""

from stickback import amount
from stickback.export.table import Cell, Column, Table
from stickback.readiness import items
from stickback.readiness.items import Share
from stickback.services.questions import Behaved


def _share(share: Share | None) -> Cell:
    return None if share is None or share.value is None else round(share.value, 4)


COLUMNS = (
    Column("question", "string", "", "id of the question", lambda one: one.question.id),
    Column("topic", "string", "", "topic of the lesson plan", lambda one: one.question.topic),
    Column("kind", "string", "", "how it is answered", lambda one: one.question.kind),
    Column("answers", "integer", "answers", "graded answers", lambda one: one.item.answers if one.item else 0),
    Column("students", "integer", "students", "who met it", lambda one: one.item.students if one.item else 0),
    Column("first", "number", "share", "right at first sight", lambda one: _share(one.item and one.item.first)),
    Column("later", "number", "share", "right on later days", lambda one: _share(one.item and one.item.later)),
    Column(
        "discrimination",
        "number",
        "-1 to 1",
        "point-biserial correlation of the first answer with the student's other first answers",
        lambda one: None if one.item is None or one.item.discrimination is None else round(one.item.discrimination, 4),
    ),
    Column("judged", "integer", "students", "whom that rests on", lambda one: one.item.judged if one.item else 0),
    Column(
        "sure_wrong", "number", "share", "answers sure and wrong", lambda one: _share(one.item and one.item.wrong_sure)
    ),
    Column("seconds", "number", "second", "median time to answer", lambda one: one.item.seconds if one.item else None),
    Column(
        "options",
        "string",
        "",
        "taken at first sight, by place in the file; * marks what is right",
        lambda one: options(one),
    ),
    Column(
        "revisions",
        "string",
        "",
        "right at first sight by revision of its text",
        lambda one: (
            "; ".join(f"{each}: {share.part} of {share.of}" for each, share in one.item.revisions.items())
            if one.item
            else None
        ),
    ),
    Column(
        "advice", "string", "", "what to look at", lambda one: " ".join(one.item.advice) or None if one.item else None
    ),
    Column("notes", "string", "", "what students said of it", lambda one: " | ".join(one.notes) or None),
)


def table(behaved: list[Behaved], about: dict[str, str]) -> Table:
    """A row a question."""
    return Table(COLUMNS, tuple(tuple(column.of(one) for column in COLUMNS) for one in behaved), about)


def summary(found: list[Behaved], shown: list[Behaved]) -> str:
    """How many questions were answered, how many of them often enough, and how many are shown."""
    if not found:
        return "No question has been answered yet."
    judged = sum(one.item is not None and one.item.first.of >= items.FEWEST for one in found)
    return (
        f"{amount.many(len(found), 'question')} answered, {judged or 'none'} by the {items.FEWEST} students or more "
        f"that advice needs; {len(shown) or 'none'} shown."
    )


def options(one: Behaved) -> str | None:
    """How often each option was taken: `1* 34 (12 sure), 2 5, 3 0`."""
    if one.item is None or not any(each.taken.of for each in one.item.options):
        return None
    return ", ".join(
        f"{each.place}{'*' if each.right else ''} {each.taken.part}{f' ({each.sure} sure)' if each.sure else ''}"
        for each in one.item.options
    )


def figures(one: Behaved) -> str:
    """The figures of a question on one line."""
    item = one.item
    if item is None:
        return "not answered yet"
    said = [amount.many(item.students, "student")]
    if item.first.of:
        said.append(f"{_told(item.first)} right at first sight")
    if item.later.of:
        said.append(f"{_told(item.later)} later")
    if item.discrimination is not None and item.judged >= items.FEWEST:  # of fewer it is mostly chance
        said.append(f"discrimination {item.discrimination:+.2f} over {item.judged}")
    if item.wrong_sure.part:
        said.append(f"{item.wrong_sure.part} sure and wrong")
    if item.seconds is not None:
        said.append(f"{item.seconds:.0f} s")
    return " · ".join(said)


def _told(share: Share) -> str:
    """A share as a person should take it: of few answers no percentage, which would say more than they do."""
    if share.value is None or share.of < items.FEWEST:
        return f"{share.part} of {share.of}"
    return amount.percent(share.value)
