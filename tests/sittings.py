"""A sitting that is held in every shell: what a student says to each question, and what the log has of it then.

A shell is tried by a function that holds a `Sitting` in it; `through_a_pipe` is what others are compared with.
"""

import io
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count

import pytest
from hypothesis import strategies as st

import worlds
from stickback import clock
from stickback.kinds.shown import REPEATED
from stickback.services import review as service
from stickback.services.review import Done, Session, Step
from stickback.services.today import Wish
from worlds import Place

# Of an entry: what is another in every sitting.
OWN = {"id", "device", "number", "seal", "at", "seconds"}
MANY = len(worlds.started())  # questions of the course to begin with, of every kind
TOPIC, NOTE = "nose-swings", "The wind is odd"
AHEAD = 1_780_444_800_000  # of the day of the tests, so that nothing took any time; 3 June 2026


@dataclass(frozen=True)
class Saying:
    """What a student does with one question.

    Args:
        before: what is asked for before the answer, in order: `hint`, `flag`, REPEATED.
        answer: `right`, `wrong`, `unknown` or `pass`.
    """

    before: tuple[str, ...]
    answer: str
    confidence: str

    def given(self, step: Step) -> str:
        """The answer, as a line holds it."""
        return step.question.body.simulate(step.seed, step.values, right=self.answer == "right")

    def wishes(self, step: Step) -> list[str]:
        """What is asked for before the answer, where there is something to ask for."""
        return [each for each in self.before if each != REPEATED or step.shown.heard]


sayings = st.lists(
    st.builds(
        Saying,
        before=st.lists(st.sampled_from(("hint", "flag", REPEATED)), max_size=3, unique=True).map(tuple),
        answer=st.sampled_from(("right", "right", "wrong", "unknown", "pass")),
        confidence=st.sampled_from(("guess", "think", "sure")),
    ),
    min_size=MANY,
    max_size=MANY + 3,  # what was wrong comes back
)


class Sitting:
    """A sitting whose askings have the same ids as those of another one: what is drawn follows from them."""

    def __init__(self, place: Place, said: list[Saying]) -> None:
        self.place, self.said, self.asked = place, said, service.ask
        self.step: Step | None = None
        self.number, self.within = 0, count()

    def begun(self) -> Session:
        """The review of it, begun in this process."""
        made = self.place.desk()
        made.database.prepare()
        return service.start(made, Wish(topic=TOPIC))

    def ask(self, session: Session) -> Step | Done:
        """Asks, and remembers what."""
        self.number, self.within = self.number + 1, count()
        found = self.asked(session)
        self.step = found if isinstance(found, Step) else None
        return found

    def new_id(self) -> str:
        """The next id of this asking."""
        return clock.uuid7(AHEAD + 1000 * self.number, next(self.within))

    def steps(self) -> Iterator[tuple[Saying, Step]]:
        """What is done with each question, as soon as it is asked."""
        for each in self.said:
            if self.step is not None:
                yield each, self.step


def entries(place: Place, said: list[Saying], sit: Callable[[Sitting], None]) -> list[dict[str, object]]:
    """What stands in the log after a sitting, without what is another in every one."""
    sitting = Sitting(place, said)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(service, "ask", sitting.ask)
        patched.setattr(clock.Clock, "new_id", lambda _: sitting.new_id())
        sit(sitting)
    lines = map(json.loads, place.does("log", "export").splitlines())
    return [{name: value for name, value in line.items() if name not in OWN} for line in lines]


def typed(sitting: Sitting) -> Iterator[str]:
    """What goes through a pipe, line by line."""
    for each, step in sitting.steps():
        for wish in each.wishes(step):
            yield f"flag {NOTE}" if wish == "flag" else wish
        if each.answer in {"unknown", "pass"}:
            yield {"unknown": "don't know", "pass": "pass"}[each.answer]
        elif step.shown.manner == "aloud":
            yield each.confidence
            yield each.given(step)
        else:
            yield f"{each.given(step)} {each.confidence}"
    yield "stop"


class Lines(io.BytesIO):
    """Standard input that is made as it is read."""

    def __init__(self, lines: Iterator[str]) -> None:
        super().__init__()
        self.lines = lines

    def read1(self, _: int = -1) -> bytes:
        """The next line; nothing at the end."""
        return "".join(f"{line}\n" for line in [next(self.lines, "")] if line).encode()


def through_a_pipe(sitting: Sitting) -> None:
    """Holds it in plain lines."""
    sitting.place.does("review", "--topic", TOPIC, typed=Lines(typed(sitting)))
