"""The board: who of a school needs what next, a row a student; on a screen, or printed with how the school stands."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from stickback.amount import many, percent
from stickback.course.course import Course
from stickback.export.document import Grid, Heading, Part, Picture, Text, Title, cut, wide, wrapped
from stickback.pictures import chart
from stickback.readiness.forecast import MIDDLE, Band
from stickback.readiness.statement import NO_ESTIMATE, Statement
from stickback.services.readiness import Page, Report
from stickback.words import oral, terms
from stickback.words import readiness as words

_NARROW, WIDE, WIDEST = 30, 100, 140  # columns of a screen: at least, where nothing is known, and at most
_NAME, _OTHERS = 16, 84  # columns that a name has at least, and that are kept for the others
_GAPS = (0, 1, 1, 1, 2, 1, 1, 1, 1, 2)
_SEVERAL, _LOWEST = 2, 8  # students that a topic of the school is told for, and topics told
FIGURES = frozenset({2, 3, 5, 6, 7, 8})
HEAD = ("Name", "Aeroplane", "Date", "Left", "Verdict", "Known", "Pass", "Plan", "Open", "Next")
FIGURES_SAY = (
    "Known, Pass: on the date, without further study, Known in % with the range that holds it in eight cases of ten. "
    "Plan: ok, or minutes a day that are missing; no: none are enough."
)
LEGEND = f"Left: days. {FIGURES_SAY} Open: errors seen in flight."


class BoardRow(NamedTuple):
    """A student on the board, a text under each word of `HEAD`; `–` where there is none.

    Args:
        left: days to the date.
        known: in %, with its band behind it.
        chance: to pass.
        open: how many errors seen in flight are.
    """

    name: str
    aeroplane: str
    date: str
    left: str
    verdict: str
    known: str
    chance: str
    plan: str
    open: str
    next: str

    @property
    def band(self) -> str:
        """The band of what is known."""
        return self.known.partition(" ")[2]


def lines(course: Course, pages: Sequence[Page], today: date, width: int) -> list[str]:
    """Who needs what next, a line a student where the screen is wide, and what the heads mean."""
    width = max(width, _NARROW)
    rows = [row(course, page) for page in pages]
    return [
        *wrapped(f"{course.plan.title} · {summary(pages)} · {terms.short_day(today)} {today.year}", width),
        *(_wide(rows, width) if width >= WIDE else _with_next_below(rows, width) or _in_words(rows, width)),
        *wrapped(f"{LEGEND} {words.CAUTION}", width),
    ]


def _wide(rows: Sequence[BoardRow], width: int) -> Iterator[str]:
    room = max(_NAME, width - _OTHERS)  # what is next needs it more than a long name
    named = tuple(each._replace(name=cut(each.name, room)) for each in rows)
    return Grid(HEAD, named, FIGURES).lines(width, 0, _GAPS, short=True)


def _with_next_below(rows: Sequence[BoardRow], width: int) -> list[str]:
    """The same, what is next on a line of its own; nothing where a row is too long even so."""
    table = list(Grid(HEAD[:-1], tuple(each[:-1] for each in rows), FIGURES).lines(WIDEST, 0, _GAPS[:-1], short=True))
    if max(map(wide, table)) > width:
        return []
    said = [HEAD[-1], *(each.next for each in rows)]
    below = [wrapped(each, width, "  ") for each in said]
    return [line for first, more in zip(table, below, strict=True) for line in (first, *more)]


def _in_words(rows: Sequence[BoardRow], width: int) -> Iterator[str]:
    """A paragraph a student, each text behind its head; what has none is left out."""
    for each in rows:
        said = (f"{head} {text}" for head, text in zip(HEAD[2:], each[2:], strict=True) if text != "–")
        yield from wrapped(f"{each.name}, {each.aeroplane}. {'. '.join(said)}.", width, "", "  ")


def row(course: Course, page: Page) -> BoardRow:
    """A student on the board."""
    one, none = page.statement, "–"
    begun = bool(one.seen.any())
    figure, low, high = (f"{share * 100:.0f}" for share in (one.known if begun else Band(0, 0, 0)))
    estimate = begun and one.verdict != NO_ESTIMATE
    return BoardRow(
        name=one.student.name,
        aeroplane=one.sheet.name,
        date=none if page.days is None else terms.short_day(one.date),
        left=none if page.days is None else str(page.days),
        verdict=one.verdict,
        known=f"{figure} {low}–{high}" if begun else none,
        chance=percent(words.likely(one.pass_chance.middle)) if estimate else none,
        plan=_plan_word(one),
        open=str(len(page.errors)) if page.errors else none,
        next=words.next_step(course, page),
    )


def _plan_word(one: Statement) -> str:
    if one.if_kept is None:
        return "–"
    short = one.if_kept.short_by
    return "no" if short is None else f"+{short}" if short else "ok"


def summary(pages: Sequence[Page]) -> str:
    """How many stand where: "8 students: 1 sound, 3 not yet"."""
    verdicts = [page.statement.verdict for page in pages]
    counts = ", ".join(f"{verdicts.count(each)} {each}" for each in dict.fromkeys(verdicts))
    return many(len(pages), "student") + (f": {counts}" if counts else "")


def parts(report: Report) -> Iterator[Part]:
    """Who needs what next, and how it stands with the school."""
    yield Title(report.course.plan.title, f"{summary(report.pages)}. {terms.day(report.day)}.", wide=True)
    yield Grid(HEAD, tuple(row(report.course, page) for page in report.pages), FIGURES, 9)
    yield Text(LEGEND, "small")
    yield Text(words.CAUTION, "small")
    yield from _weakest(report)
    orals = [page.orals for page in report.pages]
    yield from oral.held(oral.groups(orals))
    marked = [sum(each) for each in zip(*(page.by_self for page in report.pages), strict=True)]
    if said := oral.beside((marked[0], marked[1]), oral.spoken([one for each in orals for one in each])):
        yield Text(said)


def _weakest(report: Report) -> Iterator[Part]:
    """The topics that stand lowest in the school, each with how many of its students are below and are mistaken."""
    begun = [page.statement for page in report.pages if page.statement.seen.any()]
    rows = []
    for at, topic in enumerate(report.course.plan.topics.values()):
        known = [float(one.topics[at, MIDDLE]) for one in begun if one.seen[at]]
        if len(known) >= _SEVERAL:
            wrong = sum(bool(one.misbeliefs[at]) for one in begun)
            rows.append((sum(known) / len(known), terms.must(topic.title, is_must=topic.must), len(known), wrong))
    if rows:
        yield Heading("Weakest in the school")
        head = ("Topic", "", "Known", "Students", "Sure but wrong")
        yield Grid(
            head,
            tuple(
                (title, Picture(chart.bar(known), percent(known)), percent(known), str(asked), str(wrong or "–"))
                for known, title, asked, wrong in sorted(rows)[:_LOWEST]
            ),
            frozenset({2, 3, 4}),
        )
        yield Text("Known on each one's date, the mean of those who have begun the topic.", "small")
