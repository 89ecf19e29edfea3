"""How each question behaves: who got it right, which wrong options are taken, and what that says of the question.

The figures are those of classical test theory: the share that is right, and the point-biserial correlation of an answer
with the rest of a student's answers (Lord & Novick 1968, *Statistical Theories of Mental Test Scores*, chapter 15).
Small numbers say little: advice is given only where chance would hardly make what is seen.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, median, stdev

FEWEST = 20  # students who met a question before anything is advised
REST = 5  # other questions that a student must have met, to be called strong or weak
Z = 2.576  # of a normal: 1 in 100 lies outside, both sides together
EASY = 0.9  # share right at first sight above which a question tells nothing
TRAP = 0.2  # share of answers that are sure and wrong, above which something misleads
DEAD = 0.05  # share of answers below which a wrong option does no work


@dataclass(frozen=True, kw_only=True)
class Graded:
    """One graded answer: the first of a student's to a question on a day.

    Args:
        first: the student had never met the question.
        options: places of the options chosen, from 1; empty where there are none.
    """

    student: str
    question: str
    first: bool
    right: bool
    sure: bool
    seconds: float | None
    revision: str
    options: tuple[int, ...] = ()


@dataclass(frozen=True)
class Share:
    """A share of some answers, with the bounds that chance leaves it; none of no answers."""

    part: int
    of: int

    @property
    def value(self) -> float | None:
        """From 0 to 1."""
        return self.part / self.of if self.of else None

    def bounds(self, z: float = Z) -> tuple[float, float]:
        """The score interval of Wilson (1927), JASA 22, 209-212."""
        if not self.of:
            return 0.0, 1.0
        share, square = self.part / self.of, z * z / self.of
        middle = (share + square / 2) / (1 + square)
        half = z / (1 + square) * math.sqrt(share * (1 - share) / self.of + square / (4 * self.of))
        return max(0.0, middle - half), min(1.0, middle + half)


@dataclass(frozen=True)
class Chosen:
    """An option of a question: how often it was taken at first sight, and how often with `sure`."""

    place: int
    right: bool
    taken: Share
    sure: int


@dataclass(frozen=True, kw_only=True)
class Behaviour:
    """How one question behaved.

    Args:
        discrimination: from -1 to 1, how far those who got it right at first sight were right elsewhere; None where too
            few met it, or all were alike.
        judged: how many students that rests on.
        wrong_sure: answers that were sure and wrong.
        revisions: share right at first sight by revision of its text, the latest met last.
        advice: what its author should look at, in words.
    """

    question: str
    answers: int
    students: int
    first: Share
    later: Share
    discrimination: float | None
    judged: int
    options: tuple[Chosen, ...]
    wrong_sure: Share
    seconds: float | None
    revisions: Mapping[str, Share]
    advice: tuple[str, ...]


def items(answers: Iterable[Graded], keys: Mapping[str, Sequence[bool]]) -> list[Behaviour]:
    """Every question that was answered, in the order of its first answer.

    Args:
        answers: in the order they were given.
        keys: of questions with options, by place whether each is right.
    """
    of: dict[str, list[Graded]] = defaultdict(list)
    for answer in answers:
        of[answer.question].append(answer)
    firsts = {question: [each for each in graded if each.first] for question, graded in of.items()}
    totals = _totals(firsts.values())
    return [
        _item(question, graded, firsts[question], totals, keys.get(question, ())) for question, graded in of.items()
    ]


def _totals(firsts: Iterable[Sequence[Graded]]) -> dict[str, tuple[int, int]]:
    """How many questions each student got right at first sight, and of how many."""
    right, met = Counter[str](), Counter[str]()
    for graded in firsts:
        for answer in graded:
            right[answer.student] += answer.right
            met[answer.student] += 1
    return {student: (right[student], met[student]) for student in met}


def _item(
    question: str,
    graded: Sequence[Graded],
    firsts: Sequence[Graded],
    totals: Mapping[str, tuple[int, int]],
    key: Sequence[bool],
) -> Behaviour:
    first = Share(sum(each.right for each in firsts), len(firsts))
    later = [each for each in graded if not each.first]
    strength, judged = discrimination([(each.right, _rest(each, totals)) for each in firsts])
    options = tuple(_options(firsts, key))
    wrong_sure = Share(sum(each.sure and not each.right for each in graded), len(graded))
    spent = [each.seconds for each in graded if each.seconds is not None]
    return Behaviour(
        question=question,
        answers=len(graded),
        students=len({each.student for each in graded}),
        first=first,
        later=Share(sum(each.right for each in later), len(later)),
        discrimination=strength,
        judged=judged,
        options=options,
        wrong_sure=wrong_sure,
        seconds=median(spent) if spent else None,
        revisions=_revisions(firsts),
        advice=tuple(_advice(first, strength, judged, options, wrong_sure)),
    )


def _rest(answer: Graded, totals: Mapping[str, tuple[int, int]]) -> float | None:
    """The share that a student got right of all other questions; None where those are too few to say."""
    right, met = totals[answer.student]
    return (right - answer.right) / (met - 1) if met > REST else None


def discrimination(pairs: Iterable[tuple[bool, float | None]]) -> tuple[float | None, int]:
    """The point-biserial correlation of an answer with the rest, and the number of students it rests on.

    None where fewer than three are known, or one side does not vary.
    """
    known = [(float(right), rest) for right, rest in pairs if rest is not None]
    if len(known) < 3:
        return None, len(known)
    x, y = zip(*known, strict=True)
    spread = stdev(x) * stdev(y)
    if spread < 1e-12:
        return None, len(known)
    mean_x, mean_y = fmean(x), fmean(y)
    shared = sum((a - mean_x) * (b - mean_y) for a, b in known) / (len(known) - 1)
    return shared / spread, len(known)


def _options(firsts: Sequence[Graded], key: Sequence[bool]) -> Iterator[Chosen]:
    told = [each for each in firsts if each.options]
    for place, right in enumerate(key, 1):
        took = [each for each in told if place in each.options]
        yield Chosen(place, right, Share(len(took), len(told)), sum(each.sure for each in took))


def _revisions(firsts: Sequence[Graded]) -> dict[str, Share]:
    by: dict[str, list[bool]] = {}
    for each in firsts:
        by.setdefault(each.revision, []).append(each.right)
    return {revision: Share(sum(rights), len(rights)) for revision, rights in by.items()}


def _advice(
    first: Share, strength: float | None, judged: int, options: Sequence[Chosen], wrong_sure: Share
) -> Iterator[str]:
    """What the figures say of the question itself, where chance would hardly make them."""
    if first.of < FEWEST:
        return
    if strength is not None and judged >= FEWEST and _ceiling(strength, judged) < 0:
        yield "Stronger students miss it more often: check the key."
    rights = [each for each in options if each.right]
    if len(rights) == 1:
        yield from _against(rights[0], options)
    if first.bounds()[0] > EASY:
        yield f"{first.part} of {first.of} get it right at first sight: it tells nothing, or gives itself away."
    elif options:
        yield from _dead(options)
    if wrong_sure.bounds()[0] > TRAP:
        part, of = wrong_sure.part, wrong_sure.of
        yield f"{part} of {of} answers are sure and wrong: its words mislead, or it is worth a lesson."


def _ceiling(strength: float, judged: int) -> float:
    """The upper bound of a correlation, by the transformation of Fisher (1921), Metron 1, 3-32."""
    held = max(-0.999999, min(0.999999, strength))
    return math.tanh(math.atanh(held) + Z / math.sqrt(judged - 3))


def _against(right: Chosen, options: Sequence[Chosen]) -> Iterator[str]:
    """A wrong option that is taken more often than the right one, beyond what chance would do."""
    for each in options:
        both = each.taken.part + right.taken.part
        if not each.right and both and Share(each.taken.part, both).bounds()[0] > 0.5:
            more, fewer = each.taken.part, right.taken.part
            yield f"More take option {each.place} ({more}) than the right one ({fewer}): check the key."


def _dead(options: Sequence[Chosen]) -> Iterator[str]:
    """Wrong options that nobody takes, of enough who might have."""
    for each in options:
        if not each.right and not each.taken.part and each.taken.of and 3 / each.taken.of < DEAD:
            yield f"Nobody of {each.taken.of} takes option {each.place}: write one that someone would believe."
