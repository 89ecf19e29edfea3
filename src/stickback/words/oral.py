"""An oral in words: what the instructor sees at each question, the sheet of results, and orals held to the forecast."""

from collections.abc import Iterator, Sequence

from stickback import acting, clock
from stickback.amount import many, percent
from stickback.export.document import Blanks, Document, Facts, Grid, Heading, Items, Part, Text, Title
from stickback.kinds.shown import Mark, Point
from stickback.reading import text as texts
from stickback.services import oral as service
from stickback.services.oral import Examination, Put
from stickback.study import oral as orals
from stickback.study.oral import Judged, Oral, Told
from stickback.words import sitting, terms
from stickback.words.readiness import likely

CAUTION = "The school's own oral on theory: no licence, no endorsement and no permission to fly."
FEWEST = 30  # orals below which their results say next to nothing of the forecast: a judgement
TYPED = (
    ("1 3, all, none", "the points that were said, those that fail it too"),
    ("an answer", "typed in as the student gave it; the program marks it"),
    ("right, wrong", "your own judgement of an answer that is not typed in"),
    ("note WORDS", "a remark on this question, before its mark"),
    ("back", "takes the last mark back"),
    ("stop", "leaves; the oral goes on from here today"),
)


def place(exam: Examination, one: Put) -> str:
    """Where the oral is: "Question 3 of 20 · Why the nose swings (must)"."""
    topic = exam.desk.course.plan.topics[one.question.topic]
    title = terms.must(topic.title, is_must=topic.must)
    return f"Question {one.number} of {len(exam.order)} · {title} · {one.question.kind}"


def point(one: Put, number: int, each: Point) -> tuple[str, str]:
    """A point of the answer, behind what it is ticked with: "2", "Stick back (a must)"."""
    label = str(number) if one.ticked else each.label or each.place
    return label, sitting.listened(each, one.trial.values)


def how(one: Put) -> str:
    """What is to be typed."""
    if one.ticked:
        return "Type the numbers of what was said, such as `1 3`, or `all` or `none`; `?` for more."
    return f"Type the answer ({one.trial.shown.expects}), or `right` or `wrong`; `?` for more."


def begun(exam: Examination) -> str:
    """What is about to be."""
    oral, name = exam.oral, exam.desk.student.name
    what = f"Oral of {name}: {many(len(exam.order), 'question')}, {oral.needed} to be right; examiner {oral.by}."
    return f"{what} It goes on at question {len(oral.heard) + 1}." if oral.heard else what


def marked(mark: Mark) -> str:
    """What an answer was worth."""
    return " ".join([sitting.verdict(mark), *mark.remarks])


def ended(exam: Examination) -> str:
    """How it stands when it is left."""
    oral = exam.oral
    if not oral.whole:
        left = many(len(exam.order) - len(oral.heard), "question")
        return f"Left with {left} to go, {oral.right} of {len(oral.heard)} right. The same command goes on today."
    return outcome(oral)


def outcome(oral: Oral) -> str:
    """The result in a sentence: "14 of 20 right, 16 are needed: not passed"."""
    if not oral.whole:
        return f"{oral.right} of {len(oral.heard)} right; {oral.questions} were to be asked: not finished."
    return f"{oral.right} of {oral.questions} right, {oral.needed} are needed: {result(oral)}."


def sheet(exam: Examination) -> Document:
    """The sheet of results."""
    desk, oral = exam.desk, exam.oral
    day = clock.day_date(oral.day)
    return Document(
        title=f"{desk.student.name}: oral",
        day=day,
        parts=tuple(_sheet(exam)),
        foot=f"{desk.course.plan.title} ({desk.course.revision[:12]}) · {terms.program()} · oral {oral.id}",
    )


def _sheet(exam: Examination) -> Iterator[Part]:
    desk, oral = exam.desk, exam.oral
    yield Title(f"Oral: {desk.student.name}", f"{desk.course.plan.title}. {terms.day(clock.day_date(oral.day))}.")
    yield Text(outcome(oral), "strong")
    yield Facts(
        (
            ("Examiner", f"{oral.by}, signed in" if acting.now() else f"said to be {oral.by}"),
            ("Aeroplane", desk.sheet.name),
            ("Told before", told(oral)),
        )
    )
    found = [(service.put(exam, at), one) for at, one in enumerate(oral.heard)]
    yield from _topics(exam, found)
    yield Heading("Question by question")
    rows = tuple(
        (f"{one.number}. {_title(one)}", "right" if heard.right else "wrong", _what(one, heard)) for one, heard in found
    )
    yield Grid(("Question", "Mark", "Missed, said or remarked"), rows, widest=2).filled()
    yield Text(f"{CAUTION} An oral changes nothing in what is asked or forecast.", "small")
    yield Blanks(("Examiner", "Signature", "Date"))


def told(oral: Oral) -> str:
    """The forecast that stood before it."""
    if oral.chance is None or oral.known is None:
        return "no estimate"
    return f"known {percent(oral.known)}, chance to pass {percent(likely(oral.chance))}"


def _topics(exam: Examination, found: Sequence[tuple[Put, Judged]]) -> Iterator[Part]:
    """What was wrong by topic, must topics first, with where to read it up."""
    plan = exam.desk.course.plan
    wrong = {one.question.topic for one, heard in found if not heard.right}
    topics = sorted((plan.topics[name] for name in wrong), key=lambda topic: (not topic.must, plan.place[topic.id]))
    if topics:
        yield Heading("To read again")
        yield Items(
            tuple(
                f"{terms.must(topic.title, is_must=topic.must)}: {terms.lesson(exam.desk.course, topic.lesson)}"
                for topic in topics
            )
        )


def _title(one: Put) -> str:
    return texts.line(one.question.title, one.trial.values)


def _what(one: Put, heard: Judged) -> str:
    """What is worth knowing of an answer: points missed, the answer given where it was wrong, the remark."""
    found = []
    if one.ticked:
        points = service.missed(one, heard.said)
        for word, fails in (("missed", False), ("said", True)):
            lines = [texts.line(each.text, one.trial.values).rstrip(".") for each in points if each.fails == fails]
            found += [f"{word}: {'; '.join(lines)}."] if lines else []
    elif not heard.right and heard.said not in {service.RIGHT, service.WRONG}:
        _, compared = one.question.body.judge(one.trial.seed, heard.said, one.trial.values)
        found.append(f"said: {compared.said or heard.said}")
    return " ".join([*found, *([f"Remark: {heard.remark}"] if heard.remark else [])])


RESULTS = ("passed", "not passed", "not finished")


def result(one: Oral) -> str:
    """How an oral ended: one of `RESULTS`."""
    return RESULTS[2] if not one.whole else RESULTS[0] if one.passed else RESULTS[1]


HEAD = ("Day", "Examiner", "Right", "Needed", "Told before", "Result")


def row(one: Oral) -> tuple[str, ...]:
    """An oral in a list."""
    right = f"{one.right} of {len(one.heard)}"
    return clock.day_date(one.day).isoformat(), one.by, right, str(one.needed), told(one), result(one)


def beside(by_self: tuple[int, int], by_instructor: tuple[int, int]) -> str:
    """How answers said aloud were marked by the student and by an instructor, side by side; empty without both.

    Args:
        by_self, by_instructor: how many were right, and how many there were.
    """
    if not (by_self[1] and by_instructor[1]):
        return ""
    mine, theirs = (f"{percent(right / every)} right of {every}" for right, every in (by_self, by_instructor))
    said = f"Said aloud: {mine} marked by the student, {theirs} marked by an instructor."
    few = by_instructor[1] < FEWEST
    return f"{said} With so few the difference may be chance." if few else said


def held(groups: Sequence[Told]) -> Iterator[Part]:
    """Results of orals beside the chance that had been told, and how much that says."""
    if not groups:
        return
    yield Heading("Orals against the chance told before")
    rows = tuple(
        (f"{percent(one.low)} to {percent(one.high)}", str(one.orals), f"{one.expected:.1f}", str(one.passed))
        for one in groups
    )
    yield Grid(("Chance told", "Orals", "Expected to pass", "Passed"), rows, frozenset({1, 2, 3}))
    yield Text(enough(sum(one.orals for one in groups)), "small")


def enough(number: int) -> str:
    """How much so many orals say of the forecast."""
    said = f"{many(number, 'oral')} with a chance told before"
    if number < FEWEST:
        return f"{said}: too few to say whether the forecast holds, which takes {FEWEST} or more."
    return f"{said}. Students who sat it are not any students: who was told a low chance may have waited."


def spoken(found: Sequence[Oral]) -> tuple[int, int]:
    """Of answers said aloud in orals, how many were right, and how many there were."""
    from stickback.kinds.table import KINDS  # few reports tell of orals, and every kind comes with it

    aloud = {name for name, kind in KINDS.items() if kind.ALOUD}
    right = [heard.right for one in found for heard in one.heard if heard.kind in aloud]
    return sum(right), len(right)


def groups(found: Sequence[Sequence[Oral]]) -> list[Told]:
    """The orals of several students by the chance told before."""
    return orals.against_told(one for each in found for one in each)
