"""Left and right in the course that ships, held to the physics by hand for both directions of the propeller.

Sources: FAA-H-8083-25C (Pilot's Handbook of Aeronautical Knowledge), chapter 5; FAA-H-8083-3C (Airplane Flying
Handbook), chapters 6, 9 and 14. They describe the clockwise propeller (seen from the cockpit); the anticlockwise
side is by symmetry, from memory, but for the wind, which turns the nose into wind whatever the propeller does.
"""

import re

import pytest

from stickback.course.course import PLAN
from stickback.reading import fill
from stickback.services import folder
from stickback.trade import yaw

CW, ACW = yaw.PROPELLERS
LEFT, RIGHT = "left", "right"
PHAK, AFH6, AFH9, AFH14 = "PHAK chapter 5", "AFH chapter 6", "AFH chapter 9", "AFH chapter 14"
MEMORY = "from memory"

# A question's id; the sides its right option must name, in their order, with a clockwise propeller and with an
# anticlockwise one; and why.
SIDES = {
    "yaw-causes-fin-side": (LEFT, RIGHT, f"the wash turns with the propeller, above the shaft to the right: {MEMORY}"),
    "yaw-causes-loaded-wheel": (LEFT, RIGHT, f"the airframe is twisted against the propeller: {PHAK}"),
    "yaw-causes-pulling-side": ("right left", "left right", f"the down-going blade pulls, the nose yaws away: {PHAK}"),
    "yaw-causes-quarter-turn": (RIGHT, LEFT, f"a push on the top comes out a quarter turn on: {PHAK}"),
    "yaw-by-phase-opening-foot": (RIGHT, LEFT, f"slipstream and torque take the nose left, rudder opposes: {PHAK}"),
    "yaw-by-phase-adding-wind": (LEFT, RIGHT, f"wind from the left adds to the left yaw: {AFH6}"),
    "yaw-by-phase-nose-rising": (RIGHT, LEFT, f"precession of nose-up pitching: {MEMORY}, L × ω"),
    "yaw-by-phase-climb-foot": (RIGHT, LEFT, f"P-factor, nose high, yaws left: {PHAK}"),
    "raising-the-tail-swing": (LEFT, RIGHT, f"precession of the rising tail: {PHAK}, {AFH14}"),
    "raising-the-tail-foot": (RIGHT, LEFT, f"the rising tail yaws left, rudder opposes: {AFH14}"),
    "stopping-the-take-off-nose-goes": (RIGHT, LEFT, f"right rudder is left when the swing ends: {MEMORY}"),
    "engine-failure-foot": (RIGHT, LEFT, f"right rudder is left when the swing ends: {MEMORY}"),
    "go-around-power-effect": (LEFT, RIGHT, f"power pitches up and yaws left: {AFH9}"),
    "tail-coming-down-gyro": (RIGHT, LEFT, f"precession of the tail coming down: {MEMORY}, L × ω"),
    "crosswind-take-off-adding-wind": (
        "left right",
        "right left",
        f"wind from the left asks for left stick and more right rudder: {AFH6}",
    ),
    # These ask about the propeller that the sheet does not have.
    "other-propeller-which-rudder": (LEFT, RIGHT, f"all four effects reverse: {MEMORY}"),
    "other-propeller-tail-up": (RIGHT, LEFT, f"precession with the other rotation: {MEMORY}, L × ω"),
    "other-propeller-adding-wind": ("right left", "left right", f"the wind that adds changes sides: {MEMORY}"),
}

# What takes its side from the propeller must come from the sheet.
TOPICS = ("yaw-causes", "yaw-by-phase", "raising-the-tail", "other-propeller")
SIDE = re.compile(r"\b(left|right)(?:wards?)?\b", re.IGNORECASE)
ALLOWED = {
    "Put this right for an examiner": "correct",
    "so a little of each is left": "remains",
    "little left of any": "remains",
    "foot is right for a propeller that turns the other way": "correct",
    "which was helping, has left the ground": "gone from",
    "In the right attitude": "correct",
    "the nose left to rise": "allowed to",
}


@pytest.fixture(scope="module")
def shipped():
    return folder.load(folder.shipped())


@pytest.fixture(scope="module")
def sheets(shipped):
    """The values of a sheet by the direction of its propeller."""
    return {sheet.values["propeller"]: sheet.values for sheet in shipped.sheets.values()}


@pytest.fixture(scope="module")
def in_topics(shipped):
    """Every text about one of the topics: (place, text) of its section, its questions and the errors behind it."""
    plan, places = shipped.plan, []
    for topic in (plan.topics[name] for name in TOPICS):
        text = lines(PLAN, topic.line, max(block.end for block in topic.blocks))
        places += [(f"{PLAN}:{topic.line}", text)]
    for question in (each for each in shipped.questions.values() if each.topic in TOPICS):
        places += [(f"{question.file}:{question.line}", lines(question.file, question.line, question.end))]
    for error in (each for lesson in plan.lessons for each in lesson.errors if set(each.topics) & set(TOPICS)):
        places += [(f"{PLAN}:{error.line}", error.text)]
    return places


def lines(name, first, last):
    text = (folder.shipped() / name).read_text(encoding="utf-8")
    return "\n".join(text.splitlines()[first - 1 : last])


def named(text, values):
    """The sides that a text names with a sheet's values."""
    return " ".join(SIDE.findall(fill.fill(text, values)))


def right(question):
    (option,) = [each.text for each in question.body.options if each.right]
    return option


def sided(text):
    """Whether a text takes a side from the sheet."""
    return any(f"{{{{ {name} }}}}" in text for name in yaw.yaw_sides(CW))


def test_the_shipped_course_has_a_sheet_for_either_propeller(sheets):
    assert sorted(sheets) == sorted(yaw.PROPELLERS)


def test_every_choice_whose_right_option_takes_a_side_from_the_sheet_has_that_side_written_down_here(shipped):
    choices = [each for each in shipped.questions.values() if each.kind == "choice"]
    ticked = {each.id: [option.text for option in each.body.options if option.right] for each in choices}
    assert {name for name, texts in ticked.items() if any(map(sided, texts))} == set(SIDES)


@pytest.mark.parametrize("propeller", yaw.PROPELLERS)
@pytest.mark.parametrize("name", SIDES)
def test_the_right_option_names_the_side_that_the_physics_says(shipped, sheets, name, propeller):
    clockwise, anticlockwise, why = SIDES[name]
    expected = clockwise if propeller == CW else anticlockwise
    assert named(right(shipped.questions[name]), sheets[propeller]) == expected, why


def test_no_side_is_typed_by_hand_where_the_propeller_decides_it(in_topics):
    def typed(text):
        for phrase in ALLOWED:
            text = text.replace(phrase, "")
        return SIDE.search(text)

    assert [(place, text) for place, text in in_topics if typed(text)] == []


@pytest.mark.parametrize("phrase", ALLOWED)
def test_a_phrase_is_allowed_only_as_long_as_the_course_uses_it(in_topics, phrase):
    assert SIDE.search(phrase)
    assert any(phrase in text for _, text in in_topics)
