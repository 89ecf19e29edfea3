"""The lesson plan as something to read: each topic long enough to explain and short enough to read at one go, each
fact with its source, each belief to be unlearned spoken of, the cautions where they belong.

Sources: the order in which this course was asked for (150 to 400 words a topic, what each lesson says, where cautions
stand); for the figures worked out in the texts the formulas named beside them.
"""

import math
import re
from collections import Counter
from datetime import date

import pytest

from stickback.course.course import PLAN
from stickback.pictures import figure
from stickback.reading import markup, places
from stickback.reading.text import tree
from stickback.services import folder
from stickback.trade import air, load, units, yaw

FEWEST, MOST = 150, 400  # words of a topic
BARE = 2  # passages of a topic that may stand without a source: the belief unlearned, and what it means in the seat

PARTS = ("Aim.", "Before the flight.", "Flown.", "Standard.", "Caution.")
CAUTIONED = ("starting", "hand-swinging", "feet-and-brakes", "crosswind-limits", "crosswind-take-off")
CAUTIONED += ("crosswind-landing", "short-and-soft")

# Topic: what its text must speak of, if the belief agreed for it is to be unlearned.
BELIEFS = """\
who-may-fly: rating, hours, renew; recent-landings: touch-and-go, full stop; this-aeroplane: old speeds, miles an hour
own-limits: insured, legal; gear-and-cg: blame, ahead; swerve-grows: feet off, tightens
tailwheel-kinds: breaks out, parking; loading-and-surface: aft centre of gravity, tarmac; starting: brakes are on
hand-swinging: switch is off; feet-and-brakes: for turning, one place; run-up: no drop, stays down by itself
seeing-ahead: side you turn to; speed-and-turns: until you are round; stick-for-wind: stick back, behind
weathercocking: blown away, into wind; yaw-causes: torque, one part of four; yaw-by-phase: take turns
raising-the-tail: early and hard; keeping-straight: hold it in, over the nose; stopping-the-take-off: stick hard back
circuit-speeds: safety, energy; eyes-and-height: close ahead; sideslip: airspeed indicator; carburettor-ice: summer
engine-failure: nose up, turn back; go-around: failure, last resort; balloon: push; bounce-and-porpoise: springs, push
swerve-recovery: brake first, until straight; after-a-bang: taxied; three-point-attitude: full stall
hold-off: feel for the ground; when-stick-back: the moment anything touches; roll-out: not over
wheel-touchdown: speed does not make, shove; tail-coming-down: middle of a story; which-landing: depends, the maker
wind-sums: exact, gust; crosswind-limits: permission, law; crosswind-take-off: feed them in
crosswind-landing: wings level; crosswind-roll-out: come off; who-is-talking: cleared; words-and-figures: not mean yes
read-backs: wind, pressure; circuit-calls: shorten; radio-out: flashing, steady; short-and-soft: brake
hot-and-high: indicated; other-propeller: the other kind; after-a-break: riding a bicycle; the-oral: label"""
SPOKEN = dict(each.split(": ", 1) for each in BELIEFS.replace("\n", "; ").split("; "))

NOTE = re.compile(r"\[\^[^\]\s]+\]")
WORD = re.compile(r"\S*\w\S*")
SIDE = re.compile(
    r"\bnose (?:left|right)\b|\b(?:to|from|on) the (?:left|right)\b"
    r"|\b(?:left|right) (?:rudder|foot|pedal|side|wheel|main|blade|yaw|swing)\b"
)


@pytest.fixture(scope="module")
def shipped():
    return folder.load(folder.shipped())


@pytest.fixture(scope="module")
def plan(shipped):
    return shipped.plan


def texts(blocks):
    """The paragraphs of blocks, those of lists and tables among them; figures are none."""
    return [each.text for each in markup.every(tuple(blocks)) if each.kind == "paragraph"]


def words(blocks):
    return sum(len(WORD.findall(NOTE.sub("", text))) for text in texts(blocks))


def prose(blocks):
    return [block for block in blocks if block.kind != "table"]


def said(topic):
    return " ".join(" ".join(NOTE.sub("", text) for text in texts(topic.blocks)).casefold().replace("*", "").split())


def sourced(text):
    return bool(NOTE.search(text)) or "common practice" in text.casefold()


def passages(blocks):
    """The paragraphs, each with the lists and tables that it leads into; cautions are none."""
    found = []
    for block in blocks:
        text = "\n".join(texts([block]))
        if block.kind == "paragraph" and text and not text.startswith("**Caution.**"):
            found.append(text)
        elif block.kind != "paragraph" and found:
            found[-1] += f"\n{text}"
    return found


def topics_where(plan, wrong):
    return {name: bad for name, topic in plan.topics.items() if (bad := wrong(topic))}


def test_each_topic_has_150_to_400_words(plan):
    counts = {name: (words(prose(topic.blocks)), words(topic.blocks)) for name, topic in plan.topics.items()}
    assert {name: count for name, count in counts.items() if count[0] < FEWEST or count[1] > MOST} == {}


def test_what_stands_without_a_source_is_at_most_the_belief_and_the_seat(plan):
    assert topics_where(plan, lambda topic: [each for each in passages(topic.blocks) if not sourced(each)][BARE:]) == {}


def test_a_passage_that_states_a_figure_names_its_source(plan):
    def bare(topic):
        return [each for each in passages(topic.blocks) if re.search(r"\d", NOTE.sub("", each)) and not sourced(each)]

    assert topics_where(plan, bare) == {}


def test_no_topic_types_a_side_where_it_takes_one_from_the_propeller(plan):
    derived = [f"{{{{ {name} }}}}" for name in yaw.yaw_sides(yaw.PROPELLERS[0])]

    def typed(topic):
        text = "\n".join(texts(topic.blocks))
        return SIDE.findall(text) if any(name in text for name in derived) else []

    assert topics_where(plan, typed) == {}


def test_the_beliefs_to_unlearn_are_one_row_for_each_topic(plan):
    assert set(SPOKEN) == set(plan.topics)


@pytest.mark.parametrize("name", SPOKEN)
def test_a_topic_speaks_of_the_belief_it_unlearns(plan, name):
    assert [each for each in SPOKEN[name].split(", ") if each not in said(plan.topics[name])] == []


def test_each_topic_speaks_to_the_one_who_flies(plan):
    assert topics_where(plan, lambda topic: not re.search(r"\byou(?:r|rs)?\b", said(topic))) == {}


def test_no_two_topics_begin_or_end_alike(plan):
    openings = Counter(" ".join(said(topic).split()[:3]) for topic in plan.topics.values())
    closings = Counter(" ".join(said(topic).split()[-3:]) for topic in plan.topics.values())
    assert [text for text, many in (openings + closings).items() if many > 1] == []


@pytest.mark.parametrize(("phrase", "most"), [("the wrong belief", 3), ("in the seat", 12), ("the handbook", 45)])
def test_no_turn_of_phrase_wears_out(plan, phrase, most):
    assert sum(said(topic).count(phrase) for topic in plan.topics.values()) <= most


def test_each_lesson_says_its_aim_what_to_read_what_is_flown_its_standard_and_a_caution(plan):
    bold = {each.id: re.findall(r"(?m)^\*\*(.+?)\*\*", "\n".join(texts(each.blocks))) for each in plan.lessons}
    assert {name: found for name, found in bold.items() if tuple(found) != PARTS} == {}


def test_each_lesson_says_what_to_read_before_it(plan):
    found = {each.id: next(text for text in texts(each.blocks) if PARTS[1] in text) for each in plan.lessons}
    assert [name for name, text in found.items() if "read" not in text.casefold()] == []


def test_each_lesson_lists_errors_seen_by_phase(plan):
    assert {each.id: len(each.errors) for each in plan.lessons if len(each.errors) < 5} == {}
    assert [
        seen.id for each in plan.lessons for seen in each.errors if not re.match(r"[A-Z][\w ,-]+: ", seen.text)
    ] == []


def test_every_error_seen_leads_to_a_topic_of_its_own_lesson(plan):
    own = {
        seen.id: {topic.id for topic in each.topics} & set(seen.topics) for each in plan.lessons for seen in each.errors
    }
    assert [name for name, found in own.items() if not found] == []


@pytest.mark.parametrize("phrase", ["not for flight", "flight manual", "local rules", "instructor", "invented"])
def test_the_front_page_of_the_course_cautions(phrase):
    front_page = (folder.shipped() / PLAN).read_text("utf-8").split("\n## ")[0]
    assert phrase in " ".join(front_page.split())


def test_every_aircraft_sheet_cautions(shipped):
    for sheet in shipped.sheets.values():
        text = " ".join("\n".join(texts(sheet.blocks)).split())
        assert all(each in text for each in ("Invented", "not for flight", "flight manual", "instructor")), sheet.id


@pytest.mark.parametrize("name", CAUTIONED)
def test_a_topic_that_can_hurt_carries_a_caution_and_says_who_decides(plan, name):
    (caution,) = [text for text in texts(plan.topics[name].blocks) if text.startswith("**Caution.**")]
    assert "flight manual" in caution or "instructor" in caution


def test_every_file_of_the_course_says_its_revision_and_when_its_sources_were_checked():
    root = folder.shipped()
    for path in sorted(root.rglob("*.md")):
        front = places.read(path.read_text("utf-8").split("---\n")[1], path.name, 1)[0].data
        assert int(front["revision"]) >= 1, path.name
        assert date.fromisoformat(front["sources_checked"]), path.name


def test_every_figure_of_the_plan_can_be_drawn_on_every_aeroplane(shipped):
    blocks = [block for topic in shipped.plan.topics.values() for block in markup.every(topic.blocks)]
    drawn = [block for block in blocks if block.info == "figure"]
    assert len(drawn) >= 20
    for sheet in shipped.sheets.values():
        sentences = [figure.sentence(node.words) for node in tree(drawn, sheet.values)]
        assert [each for each in sentences if each.startswith("No picture")] == []


def stall(bank):
    """By how many per cent the stall speed rises in a level turn."""
    return 100 * (load.stall_speed(1, bank) - 1)


# Topic, the words of its text, and the figures in them as the formulas give them, each with its rounding.
WORKED = [
    ("this-aeroplane", r"one knot is ([\d.]+) miles", [(units.convert(1, "kt", "mph"), 0.005)]),
    ("this-aeroplane", r"\"65\" .* about (\d+) knots", [(units.convert(65, "mph", "kt"), 0.5)]),
    ("crosswind-limits", r"11 knots is nearly (\d+) miles", [(units.convert(11, "kt", "mph"), 0.5)]),
    (
        "circuit-speeds",
        r"(\d+) per cent at 30 degrees, (\d+) at 45 and (\d+) at 60",
        [(stall(b), 0.5) for b in (30, 45, 60)],
    ),
    ("engine-failure", r"by (\d+) per cent at 45 degrees", [(stall(45), 0.5)]),
    *((each, r"(\d+) per cent more", [(100 * (1.2**2 - 1), 0.5)]) for each in ("swerve-grows", "circuit-speeds")),
    *((each, r"is (\d+) per cent more", [(100 * (1.2**2 - 1), 0.5)]) for each in ("wheel-touchdown", "hot-and-high")),
    ("hot-and-high", r"gives about ([\d,]+) ft", [(air.density_altitude_rule(2000, 30), 50)]),
    ("hot-and-high", r"exact sum gives about ([\d,]+)", [(air.density_altitude(2000, 30), 5)]),
    ("carburettor-ice", r"as (\d+) to (\d+) celsius degrees", [(60 * 5 / 9, 0.5), (70 * 5 / 9, 0.5)]),
    ("after-a-bang", r"about (\d+) ft/min", [(math.sqrt(2 * 32.174 * 0.5) * 60, 0.5)]),
    (
        "wind-sums",
        " ".join(rf"\|? ?{a} [a-z ]+ ([\d.]+)" for a in (15, 30, 45, 60, 90)),
        [(math.sin(math.radians(a)), 0.005) for a in (15, 30, 45, 60, 90)],
    ),
]


@pytest.mark.parametrize(("name", "text", "expected"), WORKED)
def test_a_figure_worked_out_in_the_plan_is_what_its_formula_gives(plan, name, text, expected):
    match = re.search(text, said(plan.topics[name]))
    found = [float(each.replace(",", "")) for each in match.groups()]
    assert found == [pytest.approx(value, abs=within) for value, within in expected]


def test_every_source_says_an_edition_a_number_or_that_there_is_none(shipped):
    told = re.compile(r"\d|General knowledge|textbook formula|no published source|Worked out")
    assert [key for key, text in shipped.sources.items() if not told.search(text)] == []
