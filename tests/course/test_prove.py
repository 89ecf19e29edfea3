import pytest

from conftest import FILES
from stickback.course import prove, read
from stickback.kinds.protocol import Fault

FACTS = "```number\nanswer: {answer}\nunit: {unit}\ntolerance: {tolerance}\n{slips}```\n"
ACROSS = "crosswind(runway, wind_from, wind)"
WIND = "runway: 06 | 24\nwind_from: 010 to 360 step 10\nwind: 8 to 24"


def deck(given="", answer="x", tolerance="1", unit="kt", slips=(), attributes=""):
    drawn = f"```given\n{given}\n```\n\n" if given else ""
    lines = "slips:\n" + "".join(f"  {slip}\n" for slip in slips) if slips else ""
    body = FACTS.format(answer=answer, unit=unit, tolerance=tolerance, slips=lines)
    return f"## How much? {{#q topic=yaw-causes{attributes}}}\n\n{drawn}### Answer\n\n{body}"


@pytest.fixture
def proven(course):
    """The codes and messages of the problems of a deck with one question."""

    def problems(*args, **wishes):
        text = args[0] if args else deck(**wishes)
        return [(each.code, each.message) for each in course(text).problems]

    return problems


@pytest.fixture
def codes(proven):
    return lambda *args, **wishes: [code for code, _ in proven(*args, **wishes)]


def test_a_question_whose_every_draw_is_well_has_no_problem(codes):
    assert codes(given=WIND, answer=ACROSS) == []
    assert codes(answer="approach_speed", tolerance="0") == []
    assert codes(answer="approach_speed", unit="'{{ speed_unit }}'") == []


# none fails


def test_a_division_by_zero_for_some_draws_is_told_with_the_draw(proven):
    message = "With x 3 the answer has no value: This divides by zero."
    assert proven(given="x: 1 | 2 | 3", answer="1 / (x - 3)") == [("answer-fails", message)]


def test_draws_without_a_value_may_be_left_out(codes):
    assert codes(given="x: 1 | 2 | 3\nwhere: x != 3", answer="1 / (x - 3)") == []


@pytest.mark.parametrize(
    "answer", ["sqrt(x - 20)", "crosswind(x, 0, 5)", "asin(x)", "x ** 64 * 1000000000000000 ** 15"]
)
def test_an_answer_without_a_value_is_told(codes, answer):
    assert codes(given="x: 0.5 | 19", answer=answer) == ["answer-fails"]


def test_an_answer_that_cannot_be_typed_within_its_tolerance_is_told(proven):
    message = "With x 1 the right answer '0.333333 kt' is not marked right."
    assert proven(given="x: 1", answer="x / 3", tolerance="0.0000001") == [("answer-fails", message)]


def test_a_unit_that_an_aeroplane_does_not_have_is_told(codes):
    assert codes(answer="approach_speed", unit="'{{ brakes }}'") == ["answer-fails"]


def test_a_value_that_is_no_number_is_told(codes):
    assert codes(answer="brakes") == ["answer-fails"]


def test_a_slip_without_a_value_is_told(codes):
    assert codes(given="x: 1 | 2", slips=["1 / (x - 2): Turned over."]) == ["answer-fails"]


def test_each_question_has_one_problem_at_its_answer(course):
    one, other = deck(given="x: 1", answer="1 / (x - 1)"), deck(given="x: 1 | 2", answer="1 / (x - x)")
    found = course(one + other.replace("#q", "#r")).problems
    assert [(each.line, each.column, each.code) for each in found] == [(10, 9, "answer-fails"), (23, 9, "answer-fails")]


def test_a_question_that_fails_is_left_out_and_the_others_stay(course):
    good = deck(answer="5").replace("#q", "#good")
    assert list(course(deck(given="x: 0", answer="1 / x") + good).questions) == ["good"]


# none is ambiguous


def test_a_slip_that_would_be_marked_right_is_told_with_the_draw(proven):
    message = "With x 3 the slip 'Doubled.' would be marked right."
    assert proven(given="x: 3 | 30", slips=["x + (x - 3): Doubled."]) == [("number-ambiguous", message)]


def test_a_slip_outside_the_tolerance_for_every_draw_is_well(codes):
    assert codes(given="x: 3 | 30", slips=["x * 2: Doubled."]) == []


def test_sine_for_cosine_is_ambiguous_near_45_degrees_only(codes):
    slip = "headwind(runway, wind_from, wind): Along."
    near, far = "40 <= off_runway(runway, wind_from) <= 50", "10 <= off_runway(runway, wind_from) <= 30"
    wind = WIND.replace("wind: 8", "wind: 20")
    assert codes(given=f"{wind}\nwhere: {near}", answer=ACROSS, tolerance="5", slips=[slip]) == ["number-ambiguous"]
    assert codes(given=f"{wind}\nwhere: {far}", answer=ACROSS, slips=[slip]) == []


# nothing can be drawn


def test_conditions_that_no_draw_meets_are_told(proven):
    message = "Nothing can be drawn: No draw meets the conditions."
    assert proven(given="x: 1 to 9\nwhere: x > 9") == [("given-impossible", message)]


def test_conditions_are_tried_on_every_aeroplane(codes):
    given = "x: 1 to 9\nwhere: approach_speed < 62"  # that of one is 60, of the other 65
    assert codes(given=given) == ["given-impossible"]
    assert codes(given=given, attributes=" brakes=heel") == []
    assert codes(given=given, attributes=" brakes=toe") == ["given-impossible"]


@pytest.mark.parametrize("says", ["", "floats: none\n"])
def test_an_aeroplane_that_lacks_what_a_question_is_restricted_to_is_not_tried(course, says):
    one, other = "aircraft/quillon.md", "aircraft/mossbank.md"  # the other approaches at 65
    with_floats = {one: FILES[one].replace("---\n", "---\nfloats: yes\n", 1)}
    without = {other: FILES[other].replace("---\n", f"---\n{says}", 1)}
    text = deck(given="x: 1 to 9\nwhere: approach_speed < 62", attributes=" floats=yes")
    assert course(text, **with_floats, **without).problems == ()


@pytest.mark.parametrize(
    "answer", ["- [x] {{ x }}\n- [ ] No\n", "### Answer\n\n1. {{ x }}\n2. B\n3. C\n", "### Answer\n\n- {{ x }}\n"]
)
def test_every_kind_is_proven_to_be_drawn_and_only_that(codes, answer):
    text = "## How? {{#q topic=yaw-causes}}\n\n```given\nx: 1 to 9{}\n```\n\n{}"
    assert codes(text.format("", answer)) == []
    assert codes(text.format("\nwhere: x > 9", answer)) == ["given-impossible"]


def test_a_name_that_nobody_has_is_told_as_such_alone(codes):
    assert codes(given="x: 1", answer="x + flaps") == ["value-unknown"]


# conditions that say nothing


@pytest.mark.parametrize(
    "where", ["wind > 5", "1 < 2", "runway > 0 and wind <= 24", "off_runway(runway, wind_from) >= 0"]
)
def test_a_condition_that_every_draw_meets_is_told_at_its_place(proven, where):
    assert proven(given=f"{WIND}\nwhere: {where}", answer=ACROSS) == [
        ("given-idle", "Every draw meets this condition.")
    ]


@pytest.mark.parametrize(
    "where", ["wind != 24", "off_runway(runway, wind_from) < 180", "wind_from > 10 or runway == 6"]
)
def test_a_condition_that_leaves_out_few_draws_is_well(codes, where):
    assert codes(given=f"{WIND}\nwhere: {where}", answer=ACROSS) == []


def test_a_condition_on_a_value_of_the_sheet_may_leave_out_something_on_the_next_aeroplane(codes):
    assert codes(given="x: 1 to 9\nwhere: x < approach_speed") == []


def test_a_condition_that_has_no_value_for_some_draws_is_not_said_to_be_met(codes):
    assert codes(given="x: 1 | 2\nwhere:\n  - x != 2\n  - 1 / (x - 2) < 5") == []


def test_a_condition_is_not_looked_at_while_a_course_is_only_read(course):
    text = deck(given="x: 1 | 2\nwhere: x > 0")
    contents = [(name, each.encode()) for name, each in {**FILES, "deck.md": text}.items()]
    assert read.read(contents, (), prove.FEW).problems == ()


# the stick


def stick(given, heading):
    block = f"```stick\nheading: '{heading}'\nwind_from: 090\nstrength: light\n```"
    return f"## Where? {{#q topic=yaw-causes}}\n\n```given\n{given}\n```\n\n### Answer\n\n{block}\n"


def test_a_stick_is_proven_for_every_draw(codes):
    assert codes(stick("x: 010 to 360 step 10", "{{ x }}")) == []
    assert codes(stick("x: 010 | north", "{{ x }}")) == ["answer-fails"]


# the radio


def transmission(text, given="", answer=""):
    drawn = f"```given\n{given}\n```\n" if given else ""
    return f"## What do you say? {{#q topic=yaw-causes phraseology=uk}}\n\n> {text}\n\n{drawn}\n{answer}"


def test_a_transmission_is_proven_for_every_draw(codes):
    given = "runway: 06 | 15 | 24 | 33\nqnh: 980 to 1030"
    text = "{{ callsign_short }}, **runway {{ runway }}**, **QNH {{ qnh }}**"
    assert codes(transmission(text, given)) == []
    without_its_unit = "### Answer\n\n> Runway {{ runway }}, QNH {{ qnh }}, {{ callsign_short }}\n"
    assert codes(transmission(text, given, without_its_unit)) == ["radio-fails"]
    assert codes(transmission(text, given.replace("980", "1000"), without_its_unit)) == []


def test_what_is_the_authors_judgement_warns_and_the_question_stays(course):
    made = course(transmission("{{ callsign_short }}, runway 24, **cleared to land**"))
    assert [(each.code, each.severity) for each in made.problems] == [("radio-unmarked", "warning")]
    assert list(made.questions) == ["q"]


def test_a_question_whose_right_answer_is_marked_wrong_is_left_out(course):
    made = course(transmission("{{ callsign_short }}, **runway 24**", answer="### Answer\n\n> Roger\n"))
    assert [(each.code, each.severity) for each in made.problems] == [("radio-fails", "error")]
    assert list(made.questions) == []


def test_a_transmission_is_proven_on_every_aeroplane_that_has_its_values(course):
    text, by_hand = "{{ callsign_short }}, **runway 24**", "### Answer\n\n> Runway 24, G-WB\n"
    assert course(transmission(text)).problems == ()
    (problem,) = course(transmission(text, answer=by_hand)).problems  # the other one is G-QTWC
    assert (problem.code, "Wrong: callsign (you said G-WB)." in problem.message) == ("radio-fails", True)


def test_a_course_of_many_impossible_questions_is_tried_a_bounded_number_of_times(course, monkeypatch):
    tries = []
    values = prove.asking.values
    monkeypatch.setattr(prove.asking, "values", lambda *args: tries.append(args[-1]) or values(*args))
    course("".join(deck(given="x: 1\nwhere: x > 1").replace("#q", f"#q{n}") for n in range(20)))
    assert tries == [prove.TRIES] * 20


def test_after_enough_wrong_questions_no_more_are_tried(course):
    many = "".join(deck(given="x: 1\nwhere: x > 1").replace("#q", f"#q{n}") for n in range(prove.ENOUGH + 5))
    assert len([each for each in course(many).problems if each.code == "given-impossible"]) == prove.ENOUGH


def test_an_error_in_a_later_draw_is_told_before_a_warning_in_an_earlier_one():
    warning, error = Fault("radio-unmarked", "", "", "warning"), Fault("radio-fails", "", "")
    assert prove._worst(iter([warning, error])) == error
    assert prove._worst(iter([warning, warning])) == warning
    assert prove._worst(iter([])) is None


# What a changed file changes


def test_only_the_questions_of_a_changed_deck_and_a_changed_aeroplane_are_tried():
    broken = deck(given="x: 1 | 2", answer="1 / (x - x)")
    files = {**FILES, "a.md": broken, "b.md": broken.replace("#q", "#r")}
    contents = [(name, text.encode()) for name, text in files.items()]

    def failing(*changed):
        return [each.file for each in read.read(contents, (), prove.MANY, changed).problems]

    assert failing("a.md") == ["a.md"]
    assert failing("aircraft/quillon.md") == ["a.md", "b.md"]
    assert failing("lesson-plan.md", "sources.md") == []
