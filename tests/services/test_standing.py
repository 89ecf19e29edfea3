from datetime import timedelta

import numpy as np
import pytest

from stickback.readiness import gather
from stickback.readiness.folded import fold_all
from stickback.services import standing
from stickback.services.standing import Group
from stickback.store import log


@pytest.fixture
def group(school, hands):
    """`me`, who studied for an evening, as the only student of an aeroplane."""
    hands.finish(school.begin(), lambda name: (name != "way", "sure"))
    folded = fold_all(log.columns(school.store, ["me"]), 1)
    sheet = school.course.sheets["aldwick"]
    asked = gather.ask_all(school.course, sheet, "uk", folded.histories)
    return Group(school.course, sheet, asked, folded, np.array([0]), [school.desk().student])


def ready(group, school, days):
    (found,) = standing.ready(group, [school.desk().day + timedelta(days=days)])
    return found


def test_the_oral_is_that_of_the_plan(school):
    found = standing.exam(school.course)
    assert (found.topics, found.questions, found.share) == (tuple(school.course.plan.topics), 20, 0.8)
    assert found.weight.tolist() == [topic.weight for topic in school.course.plan.topics.values()]


def test_what_is_said_of_a_student_is_of_that_date(group, school):
    near, far = ready(group, school, 1), ready(group, school, 100)
    assert near.known > far.known
    assert near.passes > far.passes
    assert (near.today, near.kept) == (None, None)


def test_days_and_open_misbeliefs_stand_with_their_topic(group, school):
    found, topics = ready(group, school, 1), list(school.course.plan.topics)
    seen = found.topics.seen > 0
    assert np.all((found.last >= 0) == seen)
    assert found.last.max() == school.desk().number
    assert found.misbeliefs.tolist() == [int(topic == "swing") for topic in topics]


def test_a_handful_of_answers_is_no_estimate_and_says_so(group, school):
    found = ready(group, school, 1)
    assert found.verdict == "no estimate"
    assert found.obstacles == (f"{found.answers} answered so far: an estimate needs 50 answers.",)
    assert found.answers == found.topics.seen.sum()


def test_the_forecast_is_that_of_how_the_group_stands(group, school):
    day = school.desk().day + timedelta(days=3)
    made = standing.forecast_of(group, group.standing([day]))
    assert made.passes[0] == ready(group, school, 3).oral
