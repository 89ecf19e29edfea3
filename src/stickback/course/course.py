"""What a course is, once it is read: a plan of lessons and topics, decks of questions, aircraft sheets."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from stickback.reading import fill
from stickback.reading.markup import Block
from stickback.reading.problem import Place, Problem

if TYPE_CHECKING:
    from stickback.formulas.given import Draws
    from stickback.kinds.protocol import Kind

PLAN, SOURCES, SHEETS = "lesson-plan.md", "sources.md", "aircraft/"  # the files of a course beside its decks
ENDINGS = ("checkride", "endorsement", "differences", "club check")
PHRASEOLOGIES = ("icao", "uk", "faa")
OF_A_STATE = frozenset({"phraseology", "rules"})  # what differs from state to state; `rules` may name several


@dataclass(frozen=True, kw_only=True)
class Topic:
    """One section of the lesson plan.

    Args:
        weight: its share in the school's oral, 1 to 3.
        must: a matter of safety.
        assumed: a licensed pilot should know it already.
        late: it can wait, such as the law.
    """

    id: str
    lesson: str
    title: str
    weight: int
    must: bool
    assumed: bool
    blocks: tuple[Block, ...]
    file: str
    line: int
    late: bool = False


@dataclass(frozen=True)
class Seen:
    """An error that is seen in the aeroplane, and the topics behind it."""

    id: str
    text: str
    topics: tuple[str, ...]
    line: int
    places: dict[str, Place]


@dataclass(frozen=True, kw_only=True)
class Lesson:
    """One lesson; `number` is its place in the plan, from 1; one taught `beside` the others is open from the start."""

    id: str
    number: int
    title: str
    blocks: tuple[Block, ...]
    topics: tuple[Topic, ...]
    errors: tuple[Seen, ...]
    line: int
    beside: bool


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The lesson plan.

    Args:
        id: of the course; the first half of every question's name in the log.
        ends_with: the word for the test or sign-off at the end.
        intro: the front page, before the first lesson.
        exam_questions, exam_pass: of this school's own oral; no authority sets them.
        about: title, revision and the like, as typed.
        begin: ids of the questions that a newcomer begins with, in their order.
        whole: every topic was read as meant, so that one which is not here is nowhere.
    """

    id: str
    title: str
    ends_with: str
    exam_questions: int
    exam_pass: float
    intro: tuple[Block, ...]
    lessons: tuple[Lesson, ...]
    about: dict[str, str]
    whole: bool = False
    begin: tuple[str, ...] = ()

    @property
    def topics(self) -> dict[str, Topic]:
        """All topics by id, in plan order."""
        return {topic.id: topic for lesson in self.lessons for topic in lesson.topics}

    @property
    def errors(self) -> dict[str, Seen]:
        """All errors seen in flight by id, in plan order."""
        return {seen.id: seen for lesson in self.lessons for seen in lesson.errors}

    @property
    def place(self) -> dict[str, int]:
        """The place of each topic among them."""
        return {topic: place for place, topic in enumerate(self.topics)}


EMPTY = Plan(
    id="course",
    title="Course without a lesson plan",
    ends_with=ENDINGS[0],
    exam_questions=20,
    exam_pass=0.8,
    intro=(),
    lessons=(),
    about={},
)


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One aeroplane.

    Args:
        id: the file's name, by which a student's setting names it.
        values: every value a question may use, the derived ones included, as they are printed.
        derived: names of those worked out from others.
        blocks: the text under the front matter.
    """

    id: str
    file: str
    name: str
    values: dict[str, str]
    derived: frozenset[str]
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Inside:
    """What is looked into only when a question is asked, marked or judged: most of a course never is in one run.

    Args:
        body: what the question's kind read of it.
        draws: what is drawn anew for each asking: the `given` block.
        why, hint: shown after, or on request.
    """

    body: "Kind"
    draws: "Draws"
    prompt: tuple[Block, ...]
    why: tuple[Block, ...]
    hint: tuple[Block, ...]


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question of a deck.

    Args:
        id: its identity for life, unique in the course.
        kind: a key of `kinds.table.KINDS`.
        title: what is asked; its prompt stands inside.
        only: values of the sheet, or of the student, without which it is never asked.
        uses: names of the sheet's values in its text and formulas; memory hangs on these.
        guess: the chance to answer it right without knowing.
        then: id of the question asked straight after it.
        revision: a digest of its text; key: of its right answer alone.
        asks_again: its answer changed so that whoever knew the old one meets it as unseen.
        read_inside: gives what is inside; it is not compared and so not kept (`services.cache`), and of a course that
            was kept it reads the deck again (`read.inside_reader`).
    """

    id: str
    topic: str
    kind: str
    title: str
    only: dict[str, str]
    uses: frozenset[str]
    guess: float
    then: str
    revision: str
    key: str
    asks_again: bool
    file: str
    line: int
    end: int
    places: dict[str, Place]
    read_inside: Callable[["Question"], Inside] = field(repr=False, compare=False)

    @property
    def body(self) -> "Kind":
        """What its kind read of it."""
        return self.read_inside(self).body

    @property
    def draws(self) -> "Draws":
        """What is drawn anew for each asking: its `given` block."""
        return self.read_inside(self).draws

    @property
    def prompt(self) -> tuple[Block, ...]:
        """What stands under its title."""
        return self.read_inside(self).prompt

    @property
    def why(self) -> tuple[Block, ...]:
        """What is shown once it was answered."""
        return self.read_inside(self).why

    @property
    def hint(self) -> tuple[Block, ...]:
        """What is shown on request."""
        return self.read_inside(self).hint


@dataclass(frozen=True)
class Deck:
    """A file of questions, those with problems left out; `left_out` names them."""

    file: str
    title: str
    about: dict[str, str]
    questions: tuple[Question, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Course:
    """What a course folder holds.

    Args:
        decks: in the order of their file names.
        sheets: by id, in the order of their file names.
        sources: footnote definitions by key.
        problems: everything wrong in the folder, sorted by place.
        left_out: (file, title) of the questions that a problem keeps out of reviews.
        revision: a digest over everything that was read.
    """

    plan: Plan
    decks: tuple[Deck, ...]
    sheets: dict[str, Sheet]
    sources: dict[str, str]
    problems: tuple[Problem, ...]
    left_out: tuple[tuple[str, str], ...]
    revision: str

    @cached_property
    def questions(self) -> dict[str, Question]:
        """By id, in plan order of their topics, then in the order they are written."""
        found = [question for each in self.decks for question in each.questions]
        place = self.plan.place
        return {question.id: question for question in sorted(found, key=lambda question: place[question.topic])}

    @cached_property
    def kinds(self) -> dict[str, str]:
        """The kind of each question, by its name in the answer log."""
        return {self.log_name(one): one.kind for one in self.questions.values()}

    def log_name(self, question: Question) -> str:
        """The name of a question in the answer log."""
        return f"{self.plan.id}/{question.id}"

    def applicable(self, aircraft: Sheet, phraseology: str, *, abroad: bool = False) -> dict[str, Question]:
        """The questions that can be asked of a student on an aeroplane, by their name in the log.

        Args:
            abroad: those on the rules and phraseology of other states too.
        """
        values = aircraft.values if abroad else {**aircraft.values, "phraseology": phraseology, "rules": phraseology}
        return {self.log_name(each): each for each in self.questions.values() if applies(each, values, abroad=abroad)}

    def pairs(self, aircraft: Sheet, phraseology: str, *, abroad: bool = False) -> dict[tuple[str, str], Question]:
        """The same by name in the log and variant: what memory belongs to."""
        found = self.applicable(aircraft, phraseology, abroad=abroad)
        return {(name, variant(each, aircraft)): each for name, each in found.items()}


def applies(question: Question, values: Mapping[str, str], *, abroad: bool = False) -> bool:
    """Whether an aeroplane (and the rules its pilot flies by) has what the question speaks of."""
    only = {key: value for key, value in question.only.items() if not (abroad and key in OF_A_STATE)}
    fits = all(values.get(key) in (value.split() if key == "rules" else (value,)) for key, value in only.items())
    return fits and question.uses <= values.keys()


def of_own_state(question: Question, phraseology: str) -> bool:
    """Whether a question asks no other state's rules than a student's own."""
    return all(phraseology in question.only[key].split() for key in OF_A_STATE & question.only.keys())


def variant(question: Question, aircraft: Sheet) -> str:
    """The variant of a question on an aeroplane; see `reading.fill.variant`."""
    return fill.variant(question.uses, aircraft.values, question.key if question.asks_again else "")
