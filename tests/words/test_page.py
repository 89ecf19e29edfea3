"""The board and the page of a student, in words."""

import re
from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

import standing
from stickback import clock
from stickback.export.document import WIDE, Facts, Grid, Heading, Items, Text, wide
from stickback.readiness.calibrate import calibration
from stickback.readiness.forecast import Band
from stickback.readiness.statement import Outcome
from stickback.services.readiness import Page, Report
from stickback.study.flown import Flown, FlownError
from stickback.study.oral import Judged, Oral
from stickback.study.student import Student
from stickback.words import board, readiness
from stickback.words import page as statement

DAY = date(2026, 6, 1)
TOPICS = {
    name: SimpleNamespace(id=name, title=name, weight=1, must=name == "Feet", lesson="take-off")
    for name in ("Feet", "Yaw", "Stick", "Law", "Radio")
}
LESSON = SimpleNamespace(id="take-off", title="Lesson 5: Take-off", errors=())
PLAN = SimpleNamespace(
    topics=TOPICS,
    lessons=(LESSON,),
    errors={"late-foot": SimpleNamespace(text="Take-off: the foot comes late")},
    ends_with="differences",
    exam_questions=20,
    exam_pass=0.8,
    title="Tailwheel conversion",
    about={"revision": "3"},
)
COURSE = SimpleNamespace(plan=PLAN, revision="0123456789abcdef", left_out=())
FINN = standing.statement(
    oral=standing.oral(tuple(TOPICS), must=[True, False, False, False, False]),
    student=Student(name="Finn Ashby", checkride=DAY + timedelta(days=7)),
    date=DAY + timedelta(days=7),
    sheet=SimpleNamespace(id="pendlewick", name="Pendlewick", values={}),
    known=[0.9, 0.4, 0.6, 0.2, np.nan],
    pass_chance=Band(0.812, 0.7, 0.9),
    questions=np.array([9, 9, 9, 9, 0]),
    seen=np.array([9, 9, 3, 0, 0]),
    misbeliefs=[0, 2, 0, 0, 0],
    wrong=[1, 2, 0, 0, 0],
    answered_on=np.full(5, clock.day_number(DAY) - 1),
    answers=80,
)
SOUND = replace(FINN, pass_chance=Band(0.9, 0.8, 0.97), wrong=np.zeros(5), misbeliefs=np.zeros(5))
NUMBER = clock.day_number(DAY)
ERROR = FlownError(error="late-foot", lesson="take-off", day=NUMBER - 6, topics=("Yaw",), due=(), own=False)


def page(one=FINN, days=7, flights=(), errors=(), **changes):
    return Page(statement=replace(one, **changes), today=DAY, days=days, flights=flights, errors=errors)


def document(*pages, topics=True):
    report = Report(course=COURSE, day=DAY, pages=pages, calibration=calibration([]), fingerprint="1234-5678")
    return statement.document(report, topics=topics)


def under(made, heading):
    """The parts under a heading."""
    at = made.parts.index(Heading(heading)) + 1
    ends = [place for place, part in enumerate(made.parts[at:], at) if isinstance(part, Heading)]
    return made.parts[at : ends[0] if ends else None]


def facts(made):
    return dict(next(part.rows for part in made.parts if isinstance(part, Facts)))


# the board


NAMES = ["Ada Quill", "Bartholomew Featherstonehaugh", "李小明", "Cleo Marsh", "Dov Pellow"]


def school(many=30):
    """Students who differ in everything that the screen shows."""
    return [
        page(
            days=None if at % 7 == 6 else at,
            student=Student(name=f"{NAMES[at % 5]} {at}"),
            date=DAY + timedelta(days=at),
            if_kept=Outcome(Band(0.9, 0.8, 0.97), None if at % 4 == 1 else at % 3, ()) if at % 2 else None,
            misbeliefs=np.array([0, at % 2, 0, 0, 0]),
            answers=80 if at % 5 else 20,
            errors=(ERROR,) * (at % 3),
        )
        for at in range(many)
    ]


def test_thirty_students_fit_a_screen_of_a_hundred_columns_and_forty_lines():
    made = board.lines(COURSE, school(), DAY, 100)
    assert len(made) <= 40
    assert max(map(wide, made)) <= 100
    assert sum(line.lstrip().startswith(tuple(NAMES)) or "…" in line for line in made) >= 30


def test_every_student_has_one_line_with_what_is_next():
    made = board.lines(COURSE, school(), DAY, 140)[2:32]
    said = ["sure but wrong: Yaw" in line or "another date" in line for line in made[1::2]]
    assert all(said)


@pytest.mark.parametrize("width", [99, 80, 60, 40])
def test_on_a_narrow_screen_every_student_keeps_verdict_figures_and_what_is_next(width):
    pages = school()
    made = board.lines(COURSE, pages, DAY, width)
    told = " ".join(" ".join(made).split())
    assert max(map(len, made)) <= width
    for each in (board.row(COURSE, one) for one in pages):
        assert [said for said in (each.name, each.verdict, each.known, each.next) if said not in told] == []


def test_a_row_says_it_all_in_a_few_characters():
    row = board.row(COURSE, page(if_kept=Outcome(Band(0.95, 0.9, 0.99), 6, ()), errors=(ERROR,)))
    assert row[:9] == ("Finn Ashby", "Pendlewick", "8 Jun", "7", "borderline", "71 51–76", "81\xa0%", "+6", "1")
    assert board.row(COURSE, page(if_kept=Outcome(Band(0.9, 0.8, 0.9), 0, ())))[7] == "ok"
    assert board.row(COURSE, page(if_kept=Outcome(Band(0.1, 0.1, 0.2), None, ())))[7] == "no"


def test_where_nothing_can_be_said_there_is_a_dash_and_no_figure():
    nothing = board.row(COURSE, page(days=None, seen=np.zeros(5, dtype=int), answered_on=np.full(5, -1)))
    assert (nothing[2:4], nothing[5:9]) == (("–", "–"), ("–", "–", "–", "–"))
    assert board.row(COURSE, page(answers=49))[6] == "–", "too few answers for a chance"


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (page(days=-3), "set a new date"),
        (page(answered_on=np.full(5, -1)), "begin: ten minutes of review"),
        (page(answered_on=np.full(5, NUMBER - 23)), "come back: 23 days away"),
        (page(), "2 sure but wrong: Yaw"),
        (page(misbeliefs=np.array([1, 2, 0, 0, 0])), "3 sure but wrong: Feet"),
        (page(misbeliefs=np.zeros(5)), "put right: Feet"),
        (page(SOUND, if_kept=Outcome(Band(0.7, 0.6, 0.8), 4, ())), "4 minutes more a day"),
        (page(if_kept=Outcome(Band(0.1, 0.1, 0.2), 45, ())), "another date, or 45 minutes more a day"),
        (page(SOUND, if_kept=Outcome(Band(0.1, 0.1, 0.2), None, ())), "another date: no minutes are enough"),
        (page(SOUND, answers=16), "go on: 34 answers to an estimate"),
        (page(SOUND, errors=(ERROR, ERROR)), "fly Take-off again: 2 errors"),
        (page(SOUND, days=None), "set a date for the differences sign-off"),
        (page(SOUND), "nothing in theory stands open"),
        (
            page(SOUND, pass_chance=Band(0.85, 0.7, 0.9), if_kept=Outcome(Band(0.95, 0.9, 0.99), 0, ())),
            "keep to the plan",
        ),
    ],
)
def test_what_is_next_is_the_first_thing_that_is_not_as_it_should_be(one, said):
    assert readiness.next_step(COURSE, one) == said


# a page


def test_the_head_says_who_on_what_and_when_and_then_the_verdict_in_words():
    title, verdict, *_ = document(page()).parts
    assert title.text == "Finn Ashby"
    assert title.below == "Pendlewick · differences sign-off 8 June 2026 (in 7 days)"
    assert verdict == Text("Verdict on theory: borderline", "strong")


def test_the_three_chances_stand_side_by_side_and_the_plan_beside_them():
    found = facts(document(page(pass_today=Band(0.9, 0.85, 0.97), if_kept=Outcome(Band(0.95, 0.9, 0.99), 0, ()))))
    assert found["Pass, if you sat it today"] == "90\xa0% (85 to 97\xa0%)"
    assert found["Pass on the day, without further study"] == "81\xa0% (70 to 90\xa0%)"
    assert found["Pass on the day, if you keep to the plan"] == "95\xa0% (90 to 99\xa0%)"
    assert found["Plan"] == "enough with 10 minutes a day"
    assert "Plan" not in facts(document(page()))


def test_no_chance_is_shown_as_nothing_or_all():
    found = facts(document(page(pass_chance=Band(0.9999, 0.0001, 1.0))))
    assert found["Pass on the day, without further study"] == "99\xa0% (1 to 99\xa0%)"


def test_where_too_few_answers_were_given_only_the_range_is_shown():
    made = document(page(answers=49))
    assert facts(made)["Pass on the day, without further study"] == "70 to 90\xa0%"
    assert under(made, "In the way of an estimate") == (Items(("49 answered so far: an estimate needs 50 answers.",)),)


def test_what_stands_in_the_way_is_left_out_where_nothing_does():
    (items,) = under(document(page()), "In the way of sound")
    assert items.items[0] == "Must topic “Feet” holds a wrong answer that is still open."
    assert not any("In the way" in part.text for part in document(page(SOUND)).parts if isinstance(part, Heading))


def test_the_weakest_topics_come_lowest_first_and_what_was_never_asked_is_among_them():
    (items,) = under(document(page()), "Weakest")
    assert items.items == (
        "Law: 20\xa0%, never asked",
        "Yaw: 40\xa0%",
        "Stick: 60\xa0%",
        "1 topic was never asked; such are judged by how others were known at first.",
    )


def test_must_topics_come_before_the_others_each_with_its_bar_and_range():
    made = document(page())
    (must,), (others,) = under(made, "Must topics"), under(made, "Other topics")
    assert [row[0] for row in must.rows] == ["Feet"]
    assert [row[0] for row in others.rows] == ["Yaw", "Stick", "Law"]
    assert must.rows[0][2:5] == ("90\xa0%", "90 to 100\xa0%", "9 of 9")
    assert must.rows[0][1].svg.startswith("<svg")
    assert Heading("Must topics") not in document(page(), topics=False).parts


def test_what_was_flown_is_told_in_facts_with_whose_record_it_is():
    flights = (
        Flown(lesson="take-off", day=NUMBER - 47, by="Ina Vesper", seat="dual", full_stop=3, note="gusty"),
        Flown(lesson="take-off", day=NUMBER - 6, wheel=1),
    )
    first, items, since, grid = under(document(page(flights=flights, errors=(ERROR,))), "Flown")
    assert first.text.startswith("1 error open: each is closed by flying its lesson again")
    assert items.items == ("Take-off: the foot comes late (Lesson 5: Take-off, 26 May 2026, seen by the instructor)",)
    assert since.items == ("Last full-stop tailwheel landing 47 days ago.", "Last wheel landing 6 days ago.")
    assert grid.head == ("Day", "Lesson", "How", "Record", "Note")  # of the standard nothing was said
    assert [row[3] for row in grid.rows] == ["said to be Ina Vesper's", "the student's own record"]
    assert under(document(page()), "Flown") == (Text("No lesson flown was recorded."),)


def test_the_sign_off_lists_what_the_rule_asks_for_with_the_days_of_each_record():
    flights = (
        Flown(lesson="take-off", day=NUMBER - 9, by="instructor", full_stop=3, go_around=1),
        Flown(lesson="take-off", day=NUMBER - 6, full_stop=2, wheel=0),
    )
    rule, grid, *_ = under(
        document(page(flights=flights, student=Student(name="Finn Ashby", phraseology="faa"))),
        "For the differences sign-off",
    )
    assert "61.31(i)" in rule.text
    assert [row[1:] for row in grid.rows] == [("2026-05-23", "2026-05-26"), ("–", "–"), ("2026-05-23", "–")]
    assert "FCL.710" in under(document(page()), "For the differences sign-off")[0].text


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"known": Band(*[float("nan")] * 3)}, "No question of the course applies to this aeroplane."),
        ({"questions": np.array([1]), "seen": np.array([0])}, "Nothing answered yet; 1 question is unseen."),
    ],
)
def test_where_nothing_can_be_said_it_says_why(changes, said):
    assert Text(said, "strong") in document(page(**changes), topics=False).parts


def told(right, wrong, chance=0.9):
    return np.full(right + wrong, chance), np.arange(right + wrong) < right


def test_predicted_is_set_against_observed_where_there_is_something_to_see():
    assert Heading("Predicted against observed") not in document(page(foretold=told(20, 9))).parts
    picture, note = under(document(page(foretold=told(90, 10))), "Predicted against observed")
    assert "100 answers" in picture.svg
    assert "100 predictions: too few" in note.text
    _, note = under(document(page(foretold=told(900, 100))), "Predicted against observed")
    assert re.match(r"1000 predictions: predicted and observed lie \d+\.\d\s% apart in the mean; those of a", note.text)


def test_where_the_plan_was_followed_in_advance_its_days_are_drawn():
    assert Heading("Outlook, if the plan is kept") not in document(page()).parts
    way = ((NUMBER, Band(0.5, 0.4, 0.6)), (NUMBER + 7, Band(0.7, 0.6, 0.8)))
    made = document(page(if_kept=Outcome(Band(0.9, 0.8, 0.97), 0, way)))
    picture, below = under(made, "Outlook, if the plan is kept")
    assert (picture.alt, below.text) == (
        "50\xa0% known on 1 Jun, 70\xa0% on 8 Jun",
        "50\xa0% known on 1 Jun, 70\xa0% on 8 Jun.",
    )
    assert "8 Jun" in picture.svg


def test_orals_stand_beside_what_was_told_before_and_the_students_own_marks():
    heard = tuple(Judged(f"id-{at}", ("tw/q", ""), "explain", at > 0, "1") for at in range(2))
    one = Oral(id="a", day=NUMBER, by="Ina Vesper", questions=2, needed=2, seed=1, known=0.8, chance=0.9, heard=heard)
    of_one = replace(page(), orals=(one,), by_self=(30, 40))
    grid, beside, *_ = under(document(of_one), "Orals")
    assert grid.rows == (
        ("2026-06-01", "Ina Vesper", "1 of 2", "2", "known 80\xa0%, chance to pass 90\xa0%", "not passed"),
    )
    assert beside.text.startswith(
        "Said aloud: 75\xa0% right of 40 marked by the student, 50\xa0% right of 2 marked by an"
    )
    assert beside.text.endswith("With so few the difference may be chance.")
    grid, note, *_ = under(document(of_one, page()), "Orals against the chance told before")
    assert grid.rows == (("80\xa0% to 100\xa0%", "1", "0.9", "0"),)
    assert "too few to say" in note.text


def test_the_topics_that_stand_lowest_in_the_school_are_those_that_several_have_begun():
    made = document(page(), page())
    grid, *_ = under(made, "Weakest in the school")
    assert (grid.rows[0][0], *grid.rows[0][2:]) == ("Yaw", "40\xa0%", "2", "2")
    assert len(grid.rows) == 3  # the fourth was never asked, the fifth has no question
    assert made.parts[0].wide


def test_of_several_students_the_overview_comes_first():
    made = document(page(), page(SOUND))
    assert made.parts[0].below == "2 students: 1 borderline, 1 sound. 1 June 2026."
    assert isinstance(made.parts[1], Grid)
    assert len(made.parts[1].rows) == 2


def test_it_says_where_it_is_from_and_that_it_certifies_nothing():
    made = document(page())
    assert made.foot.startswith("Tailwheel conversion, revision 3 (0123456789ab) · stickback ")
    assert "log 1234-5678" in made.foot
    assert readiness.CAUTION in made.parts[-1].items


def test_as_text_every_line_fits_the_width():
    made = document(*school(3)).lines()
    assert max(map(wide, made)) <= WIDE
    assert "Finn" not in made[0]
