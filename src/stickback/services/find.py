"""Words looked for in the lesson plan, in what is asked and in a student's own notes."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from stickback.course import asking
from stickback.course.course import Course, Question, Sheet, Topic
from stickback.reading import text as texts
from stickback.reading.markup import Block, every
from stickback.refused import Refused
from stickback.services.note import Note

AROUND = 60  # characters of an excerpt on each side of the first word found


@dataclass(frozen=True)
class Hits:
    """What holds the words.

    Args:
        topics: sections of the lesson plan, each with the words in their surroundings.
        questions: as a student meets them; nothing is told of their answers.
        notes: the student's own.
    """

    topics: tuple[tuple[Topic, str], ...]
    questions: tuple[tuple[Question, str], ...]
    notes: tuple[Note, ...] = ()

    def __bool__(self) -> bool:
        """Whether anything holds them."""
        return bool(self.topics or self.questions or self.notes)


def find(course: Course, sheet: Sheet, words: Sequence[str], notes: Iterable[Note] = ()) -> Hits:
    """Everything that holds all the words or words that begin so, in either case, in the order of the lesson plan.

    Args:
        sheet: whose values stand in the texts.
        notes: those that are looked through.
    Errors: Refused where nothing is looked for.
    """
    wanted = [re.compile(rf"\b{re.escape(part)}", re.IGNORECASE) for word in words for part in word.split()]
    if not wanted:
        raise Refused("Say what to look for, such as `stickback find tailwheel lock`.")
    topics = []
    for topic in course.plan.topics.values():
        text = _text(topic.blocks, sheet.values)
        if _holds(f"{topic.title} {text}", wanted):
            topics.append((topic, _excerpt(text, wanted)))
    asked = []
    for question in course.questions.values():
        values = asking.undrawn(question, sheet)
        title = texts.line(question.title, values)
        if _holds(f"{title} {_text(question.prompt, values)}", wanted):
            asked.append((question, title))
    return Hits(tuple(topics), tuple(asked), tuple(each for each in notes if _holds(each.text, wanted)))


def _text(blocks: tuple[Block, ...], values: Mapping[str, str]) -> str:
    """All that is read, on one line."""
    read = (block.text for block in every(blocks) if block.kind in {"paragraph", "heading", "cell"} and block.text)
    return " ".join(texts.line(text, values) for text in read)


def _holds(text: str, wanted: Iterable[re.Pattern[str]]) -> bool:
    return all(word.search(text) for word in wanted)


def _excerpt(text: str, wanted: Sequence[re.Pattern[str]]) -> str:
    """Where the words stand closest together, with what stands around them, cut between words."""
    places = [[match.start() for match in word.finditer(text)] for word in wanted]
    at = min((_spread(place, places), place) for place in next(filter(None, places), [0]))[1]
    low, high = max(at - AROUND, 0), min(at + AROUND, len(text))
    begin = text.find(" ", low, at) + 1 if low else 0
    end = text.rfind(" ", at, high) if high < len(text) else high
    return ("…" if begin else "") + text[begin : max(end, at)].strip() + ("…" if end < len(text) else "")


def _spread(at: int, places: Sequence[Sequence[int]]) -> int:
    """How far from a place the others' nearest occurrences are, all together."""
    return sum(min(abs(other - at) for other in each) for each in places if each)
