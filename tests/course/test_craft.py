from itertools import count
from string import ascii_lowercase

import pytest

from stickback.course import craft

WHY = "\n### Why\n\nCommon practice.\n"
LEFT_RIGHT = "- [x] Left\n- [ ] Right\n"
numbers = count()
WORDS = ("Rudder", "Brakes", "Flaps", "Mixture", "Magnetos", "Trim", "Throttle", "Primer", "Harness", "Canopy")


def ask(body=LEFT_RIGHT, why=WHY, title=None, attributes="", name=None):
    """A question whose stem is like no other's."""
    number = next(numbers)
    title = title or "".join(ascii_lowercase[int(digit)] for digit in f"{number:04}")
    return f"## {title} {{#{name or f'q{number}'} topic=yaw-causes{attributes}}}\n\n{body}{why}\n"


def options(*texts, right=0):
    return "".join(f"- [{'x' if number == right else ' '}] {text}\n" for number, text in enumerate(texts))


@pytest.fixture
def codes(course):
    """The codes of what is said of the craft of questions, each a warning at its question's heading."""

    def judged(*questions):
        made = course("".join(questions))
        assert made.problems == ()
        found = craft.problems(made)
        assert {(each.severity, each.column) for each in found} <= {("warning", 1)}
        assert {each.line for each in found} <= {each.line for each in made.questions.values()}
        return [each.code for each in found]

    return judged


def test_a_question_of_good_craft_is_not_spoken_of(codes):
    assert codes(ask()) == []


# why and source


def test_a_question_must_say_why(codes):
    assert codes(ask(why="")) == ["craft-why"]


@pytest.mark.parametrize("source", ["It is so.[^a]\n\n[^a]: A book.", "By Common Practice."])
def test_a_footnote_or_common_practice_is_a_source(codes, source):
    assert codes(ask(why=f"\n### Why\n\n{source}\n")) == []


def test_a_reason_without_a_source_is_spoken_of(codes):
    assert codes(ask(why="\n### Why\n\nIt is so. [a]\n")) == ["craft-source"]


def test_a_source_may_stand_anywhere_in_the_question(codes):
    why, note = "\n### Why\n\nIt is so.\n", "\n[^a]: A book.\n"
    assert codes(ask(options("Left[^a]", "Right"), why), note) == []
    assert codes(ask(why=why + "\n### Hint\n\nLook.[^a]\n"), note) == []
    assert codes(ask("### Answer\n\n- Feet[^a]\n", why), note) == []


# options


@pytest.mark.parametrize(("length", "longest"), [(40, []), (41, ["craft-longest"])])
def test_a_right_option_is_longest_beyond_half_as_much_again_and_ten(codes, length, longest):
    assert codes(ask(options("r" * length, "w" * 20, "x" * 9))) == longest


def test_a_long_wrong_option_and_several_right_ones_are_well(codes):
    assert codes(ask(options("w" * 90, "r" * 9, right=1))) == []
    assert codes(ask("- [x] " + "r" * 90 + "\n- [x] s\n- [ ] t\n")) == []


@pytest.mark.parametrize("word", ["always", "Never", "ALL", "every"])
def test_an_absolute_word_in_one_option_alone_gives_it_away(codes, word):
    assert codes(ask(options("Left", f"Right, {word} so", "Up"))) == ["craft-absolute"]


@pytest.mark.parametrize(
    "texts",
    [
        ("Always left", "Never right", "Up"),
        ("Always left", "Right"),
        ("Left, overall", "Right", "Up"),
        ("Left", "Everything", "Up"),
    ],
)
def test_two_absolute_options_one_of_two_or_a_part_of_a_word_are_well(codes, texts):
    assert codes(ask(options(*texts))) == []


def fixed(many, first):
    """Questions of fixed order, in so many of which the first option is right."""
    return [
        ask(options("A", "B", right=int(number >= first)), attributes=" order=fixed", title=WORDS[number])
        for number in range(many)
    ]


@pytest.mark.parametrize(
    ("many", "first", "found"),
    [
        (7, 7, []),
        (8, 8, ["craft-position"]),
        (8, 5, ["craft-position"]),
        (8, 4, []),
        (10, 6, []),
        (10, 7, ["craft-position"]),
    ],
)
def test_of_eight_questions_of_fixed_order_three_fifths_may_have_the_right_option_at_one_place(
    codes, many, first, found
):
    assert codes(*fixed(many, first)) == found


def test_questions_that_are_shuffled_have_no_place_to_judge(codes):
    assert codes(*(each.replace(" order=fixed", "") for each in fixed(8, 8))) == []


# stems


def stems(*titles):
    return [ask(title=title) for title in titles]


def test_stems_with_three_quarters_of_their_words_in_common_are_alike(codes):
    assert codes(*stems("rudder brakes flaps", "rudder brakes flaps trim")) == ["craft-alike"]
    assert codes(*stems("rudder brakes flaps", "Flaps, RUDDER; brakes?")) == ["craft-alike"]
    assert codes(*stems("rudder brakes", "rudder brakes trim")) == []


def test_a_stem_is_compared_over_the_whole_course_and_the_later_one_is_named(course):
    text = "".join(stems("rudder brakes flaps", "mixture and magnetos", "rudder brakes flaps"))
    questions = list(course(text).questions.values())
    (found,) = craft.problems(course(text))
    assert (found.line, found.message) == (questions[2].line, f"This stem is much like that of '{questions[0].id}'.")


def test_a_stem_is_found_alike_behind_a_longer_one_that_shares_as_many_words(codes):
    longer = "rudder brakes flaps trim mixture magnetos"
    assert codes(*stems(longer, "rudder brakes flaps", "flaps brakes rudder")) == ["craft-alike"]


def test_stems_without_words_are_not_alike(codes):
    assert codes(*stems("1 2 3", "4 5 6")) == []


# sides


SIDED = ask(options("To the {{ swing }}", "Nowhere"), name="sided")


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("It goes to the left.", ["craft-side"]),
        ("It goes to its right.", ["craft-side"]),
        ("Nose LEFT.", ["craft-side"]),
        ("Hold right rudder.", ["craft-side"]),
        ("The left seat.", []),
        ("What is left is right.", []),
        ("Turn {{ swing }}.", []),
    ],
)
def test_a_side_typed_by_hand_is_spoken_of_where_another_question_derives_it(codes, said, found):
    assert codes(SIDED, ask("### Answer\n\n- Feet\n", f"\n### Why\n\nCommon practice. {said}\n")) == found


def test_a_side_is_looked_for_in_every_text_of_the_question(codes):
    side = "to the left"
    assert codes(SIDED, ask(title=f"Why {side}?")) == ["craft-side"]
    assert codes(SIDED, ask(f"It goes {side}.\n\n{LEFT_RIGHT}")) == ["craft-side"]
    assert codes(SIDED, ask(options(side, "Nowhere"))) == ["craft-side"]
    assert codes(SIDED, ask(why=f"{WHY}\n### Hint\n\nIt goes {side}.\n")) == ["craft-side"]
    assert codes(SIDED, ask(f"### Answer\n\n1. Go {side}\n2. B\n3. C\n")) == ["craft-side"]


def test_a_side_may_stand_with_a_reason_and_in_a_topic_without_a_propeller(codes):
    side = ask(title="Why to the left?")
    assert codes(SIDED, side.replace("yaw-causes", 'yaw-causes sides="the wind is given"')) == []
    assert codes(SIDED, side.replace("yaw-causes", "three-point")) == []
    assert codes(side) == []


def test_what_is_said_comes_in_the_order_of_its_places(course):
    found = craft.problems(course(ask(why="") + ask(options("Always left", "B", "C"), why="") + ask(why="")))
    assert found == sorted(found)
    assert len(found) == 4


# coverage


def coverage(course, **asked):
    """The gaps of the topics asked about; topics by name with `_`, each with the bodies of its questions."""
    bodies = [(topic.replace("_", "-"), body) for topic, many in asked.items() for body in many]
    text = "".join(ask(body).replace("yaw-causes", topic) for topic, body in bodies)
    return {each.topic.id: each for each in craft.coverage(course(text))}


EXPLAIN, NUMBER = "### Answer\n\n- Feet\n", "### Answer\n\n65 kt ± 2\n"


def test_a_topic_that_nothing_asks_about_is_a_gap(course):
    found = coverage(course, three_point=[LEFT_RIGHT])
    assert {name: each.gaps for name, each in found.items()} == {
        "yaw-causes": ("nothing asks",),
        "keeping-straight": ("nothing asks",),
        "three-point": ("8 more for weight 3",),
        "wheel-landing": ("nothing asks",),
    }


@pytest.mark.parametrize(("topic", "enough"), [("keeping_straight", 4), ("wheel_landing", 4), ("three_point", 9)])
def test_how_many_questions_a_topic_wants_follows_from_its_weight(course, topic, enough):
    name = topic.replace("_", "-")
    assert coverage(course, **{topic: [EXPLAIN] * enough})[name].gaps == ()
    (gap,) = coverage(course, **{topic: [EXPLAIN] * (enough - 1)})[name].gaps
    assert gap.startswith("1 more for weight")


def test_a_must_topic_wants_three_kinds(course):
    two = coverage(course, yaw_causes=[LEFT_RIGHT, EXPLAIN] * 3)["yaw-causes"]
    assert (two.gaps, two.kinds) == (("1 more kind for a must",), {"choice": 3, "explain": 3})
    assert coverage(course, yaw_causes=[LEFT_RIGHT, EXPLAIN, NUMBER] * 2)["yaw-causes"].gaps == ()


def test_a_topic_may_have_two_gaps(course):
    assert coverage(course, yaw_causes=[LEFT_RIGHT])["yaw-causes"].gaps == (
        "5 more for weight 2",
        "2 more kinds for a must",
    )
