"""Questions whose right answer has changed under the answers of a log."""

from collections import Counter

from stickback import amount
from stickback.course.course import Course, Question
from stickback.course.question import AGAIN
from stickback.reading.problem import At, Problem
from stickback.store import log
from stickback.store.engine import Database


def outdated(course: Course, database: Database) -> list[Problem]:
    """A warning for each question that students last answered under another key, sorted by place.

    Who has answered since is no longer concerned, nor is anyone where the question asks again.
    """
    questions = {course.key(each): each for each in course.questions.values() if not each.again}
    concerned = Counter(
        name for name, key in log.last_keys(database) if name in questions and questions[name].key != key
    )
    return sorted(_outdated(questions[name], students) for name, students in concerned.items())


def _outdated(question: Question, students: int) -> Problem:
    message = f"The right answer is not what it was when {amount.many(students, 'student')} last answered this."
    hint = f"put asks={AGAIN} into the braces of the heading to count it as unseen; where only words changed, leave it"
    return Problem(At(question.file, question.line, 1), "key-changed", message, hint, "warning")
