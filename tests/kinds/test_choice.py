from hashlib import blake2b
from itertools import combinations
from string import ascii_lowercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts import part_of
from stickback.kinds import choice
from stickback.kinds.choice import Choice, Option
from stickback.kinds.shown import Point
from typed import heard

ONE = Choice((Option("Left", True), Option("Right", False), Option("Neither", False)))
TWO = Choice((Option("Rudder", True), Option("Brake", False), Option("Stick back", True)))
FIXED = Choice(TWO.options, fixed=True)

seeds = st.integers(0, 2**53 - 1)


@st.composite
def bodies(draw):
    texts = draw(st.lists(st.text(min_size=1, max_size=9), min_size=2, max_size=choice.MOST, unique=True))
    rights = draw(st.lists(st.booleans(), min_size=len(texts), max_size=len(texts)).filter(any))
    return Choice(tuple(map(Option, texts, rights)), draw(st.booleans()))


def part(body, **settings):
    """The question, its first option on line 3."""
    return part_of(f"## Which way? {{#way}}\n\n{body}\n", **settings)


def faults(body):
    """Line and code of what `parse` complains about."""
    return [(problem.line, problem.code) for problem in Choice.parse(part(body))[2]]


def near(body):
    """Line and column of what looks like an option and is none."""
    return [(problem.line, problem.column) for problem in Choice.near_misses(part(body))]


def subsets(body):
    """Every answer that ticks something."""
    letters = ascii_lowercase[: len(body.options)]
    return [" ".join(each) for size in range(1, len(letters) + 1) for each in combinations(letters, size)]


def key(body, seed):
    return " ".join(sorted(point.label for point in body.answer(seed, {})))


# reading


def test_a_task_list_is_read_with_what_is_marked():
    body, prompt, problems = Choice.parse(part("Look ahead.\n\n- [x] Left\n- [ ] Right\n- [X] *Both*\n\nThink."))
    assert body == Choice((Option("Left", True), Option("Right", False), Option("*Both*", True)))
    assert [block.text for block in prompt] == ["Look ahead.", "Think."]
    assert problems == []


def test_an_option_may_go_on_over_lines():
    body, _, _ = Choice.parse(part("- [x] To the\n  left\n- [ ] Right"))
    assert body.options[0] == Option("To the left", True)


@pytest.mark.parametrize(("order", "fixed"), [({}, False), ({"order": "fixed"}, True)])
def test_the_order_is_fixed_where_the_heading_says_so(order, fixed):
    body, _, _ = Choice.parse(part("- [x] Left\n- [ ] Right", **order))
    assert body.fixed is fixed


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("- [ ] Left\n- [ ] Right", [(3, "choice-no-right")]),
        ("- [x] Left\n- [x] Right", [(3, "choice-no-wrong")]),
        ("- [x] Left", [(3, "choice-few")]),
        ("\n".join(f"- [x] Way {number}" for number in range(7)), [(3, "choice-many")]),
        ("- [x] Left\n- Right", [(4, "choice-marker")]),
        ("- [x] Left\n- [ ]\n- [ ] Right", [(4, "choice-blank")]),
        ("- [x] Left\n- [ ] Right\n- [ ]  Left", [(5, "choice-doubled")]),
        ("- [x] Left\n- [ ] Right\n\nor\n\n- [x] Up\n- [ ] Down", [(8, "answer-doubled")]),
        ("- [ ] Left\n- [ ] Left\n- [ ]\n- Right", [(4, "choice-doubled"), (5, "choice-blank"), (6, "choice-marker")]),
    ],
)
def test_a_list_that_cannot_be_asked_is_refused_with_its_places(body, expected):
    assert Choice.parse(part(body))[0] is None
    assert faults(body) == expected


def test_a_missing_right_option_is_named_at_its_list():
    assert faults("Some prose.\n\nAnd more.\n\n- [ ] Left\n- [ ] Right") == [(7, "choice-no-right")]


@pytest.mark.parametrize("many", [2, 6])
def test_from_two_to_six_options_can_be_asked(many):
    assert faults("\n".join(f"- [{'x' if number else ' '}] Way {number}" for number in range(many))) == []


def test_a_list_after_the_first_subheading_is_no_task_list():
    assert not Choice.reads(part("### Answer\n\n- [x] Left\n- [ ] Right"))


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("- [ x] Left", 1),
        ("- [x ] Left", 1),
        ("- [] Left", 1),
        ("- [x]Left", 1),
        ("- (x) Left", 1),
        ("- [✓] Left", 1),
        ("-[x] Left", 1),
        ("• [x] Left", 1),
        ("– [x] Left", 1),
        ("[x] Left", 1),
        ("> - [x] Left", 3),
        ("  - [ x] Left", 3),
    ],
)
def test_a_line_that_looks_like_an_option_and_is_none_is_named(line, column):
    assert near(f"Prose.\n\n{line}") == [(5, column)]


@pytest.mark.parametrize(
    "text",
    [
        "- [x] Left\n- [X] Right\n* [ ] Up",
        "[x](figures/x.svg)",
        "- [the handbook](book.md)",
        "A sentence with [x] in it.",
        "- An item",
        "```\n- [ x] sample\n```",
    ],
)
def test_a_line_that_is_meant_as_it_is_read_is_no_near_miss(text):
    assert near(text) == []


def test_lines_of_a_block_that_is_never_closed_are_not_complained_about_again():
    assert near("```\n- [x] Left\n- [ ] Right") == []
    assert near("- ```\n  - [x] Left\n  - [ ] Right") == []
    assert faults("- [x] Left\n- [ ] Right\n- ```\n  code") == []


@pytest.mark.parametrize(
    "text",
    [
        "- [x] Left\n- [ ] Right\n\n1. [ ] Up\n2. [ ] Down",
        "1. [x] Left\n2. [ ] Right\n\n### Answer\n\n- Left",
    ],
)
def test_a_box_in_a_numbered_list_is_named_and_not_lost(text):
    assert {problem.code for problem in Choice.near_misses(part(text))} == {"choice-marker"}


@pytest.mark.parametrize("under", ["\n  and hold it there", "  - and hold it there", "\n  ```\n  hold\n  ```"])
def test_what_stands_under_an_option_is_kept_or_named(under):
    body, _, problems = Choice.parse(part(f"- [x] Left\n{under}\n- [ ] Right"))
    assert problems or "hold" in body.options[0].text


# asking and marking


@given(bodies(), seeds)
def test_options_shown_are_a_permutation_of_those_written(body, seed):
    assert sorted(body.show(seed, {}).options) == sorted(body.texts())


@given(bodies(), seeds)
def test_the_same_seed_shows_the_same(body, seed):
    assert body.show(seed, {}) == body.show(seed, {})
    assert body.answer(seed, {}) == body.answer(seed, {})


@given(bodies(), seeds)
def test_the_answer_shown_is_marked_right_and_any_other_set_of_letters_wrong(body, seed):
    marked = {given: body.mark(seed, given, {}) for given in subsets(body)}
    assert [given for given, mark in marked.items() if mark.right] == [key(body, seed)]
    assert all(mark.score == mark.right for mark in marked.values())


@given(bodies(), seeds)
def test_the_answer_names_each_right_option_with_the_letter_it_had(body, seed):
    shown = dict(zip(ascii_lowercase, body.show(seed, {}).options, strict=False))
    right = {option.text for option in body.options if option.right}
    assert {shown[point.label] for point in body.answer(seed, {})} == right
    assert all(shown[point.label] == point.text for point in body.answer(seed, {}))


@given(bodies(), seeds)
def test_the_answer_shown_can_be_typed(body, seed):
    assert heard(body, key(body, seed)) == key(body, seed)


@given(bodies(), st.text(alphabet="abcdefgxABC ,;?", max_size=8) | st.text(max_size=4))
def test_an_answer_understood_is_understood_as_itself(body, text):
    once = heard(body, text)
    assert once is None or heard(body, once) == once


@given(bodies())
def test_the_chance_is_one_in_as_many_answers_as_can_be_given(body):
    answers = [given for given in subsets(body) if heard(body, given)]
    assert body.chance() * len(answers) == pytest.approx(1)


def test_a_fixed_order_is_shown_as_written_under_any_seed():
    shown = {FIXED.show(seed, {}).options for seed in range(50)}
    assert shown == {("Rudder", "Brake", "Stick back")}
    assert FIXED.answer(7, {}) == (Point(text="Rudder", label="a"), Point(text="Stick back", label="c"))


def test_every_order_of_the_options_comes_up():
    assert len({ONE.show(seed, {}).options for seed in range(200)}) == 6


@pytest.mark.parametrize(("body", "manner"), [(ONE, "one"), (TWO, "several")])
def test_what_is_shown_tells_whether_several_may_be_right(body, manner):
    assert body.show(1, {}).manner == manner


@pytest.mark.parametrize(
    ("body", "typed", "understood"),
    [
        (ONE, "b", "b"),
        (ONE, " B ", "b"),
        (ONE, "a a", "a"),
        (ONE, "a b", None),
        (ONE, "d", None),
        (ONE, "left", None),
        (ONE, "", None),
        (ONE, ",", None),
        (TWO, "c a", "a c"),
        (TWO, "ca", "a c"),
        (TWO, "A,C; a", "a c"),
        (TWO, "a b c", "a b c"),
        (TWO, "a and c", "a c"),
        (TWO, "a d", None),
    ],
)
def test_letters_are_understood_however_they_are_written(body, typed, understood):
    assert heard(body, typed) == understood


def test_a_choice_says_how_it_was_read_and_what_it_expects():
    assert ONE.describe() == "3 options, 1 right"
    assert TWO.describe() == "3 options, 2 right"
    assert ONE.show(1, {}).expects == "one letter from a to c"
    assert TWO.show(1, {}).expects == "letters from a to c, such as `a c`"


@pytest.mark.parametrize(("body", "chance"), [(ONE, 1 / 3), (TWO, 1 / 7)])
def test_guessing_is_right_once_in_three_with_one_right_and_once_in_seven_with_several(body, chance):
    assert body.chance() == chance


def test_the_texts_are_the_options_as_written():
    assert TWO.texts() == ("Rudder", "Brake", "Stick back")


def test_the_right_options_are_told_in_the_order_they_were_shown_in():
    for seed in range(20):
        told = TWO.compare(seed, "a b", {})
        assert [point.label for point in told.points] == sorted(point.label for point in TWO.answer(seed, {}))
        assert (told.said, told.example) == ("a, b", False)


def test_what_is_right_stands_in_the_order_it_is_written_however_it_is_shown():
    assert {tuple(point.text for point in TWO.answer(seed, {})) for seed in range(20)} == {("Rudder", "Stick back")}


# the log


@given(bodies(), seeds, st.data())
def test_the_log_keeps_the_options_of_the_file_and_gives_back_the_letters(body, seed, data):
    given = data.draw(st.sampled_from(subsets(body)))
    kept = body.to_log(seed, given)
    assert body.from_log(seed, kept) == given
    assert body.from_log(seed, given) == given  # as older versions kept it
    assert body.chosen(seed, kept) == body.chosen(seed, given)
    assert body.judge(seed, kept, {}) == body.judge(seed, given, {})


def test_an_option_is_kept_by_its_place_in_the_file_and_a_digest_of_its_text():
    kept = Choice((Option("Left", True), Option("Right", False)), fixed=True).to_log(1, "b")
    assert kept == f"2#{blake2b(b'Right', digest_size=3).hexdigest()}"


def test_an_option_is_found_again_where_it_has_moved_and_left_out_where_it_was_reworded():
    kept = Choice((Option("Left", True), Option("Right", False)), fixed=True).to_log(1, "b")
    moved = Choice((Option("Right", False), Option("Left", True)), fixed=True)
    assert moved.chosen(1, kept) == moved.chosen(None, kept) == (1,)
    assert moved.chosen(None, "b") == ()  # a letter of a question that has changed since says nothing
    assert Choice((Option("Left", True), Option("To the right", False)), fixed=True).chosen(1, kept) == ()


def test_the_key_is_that_of_the_right_options_alone():
    one = Choice((Option("Left", True), Option("Right", False)))
    assert one.key() == Choice((Option("Up", False), Option("Left", True)), fixed=True).key()
    assert one.key() != Choice((Option("Left", False), Option("Right", True))).key()


def test_options_chosen_are_spoken_of_by_their_texts_where_letters_mean_nothing():
    body = Choice((Option("Left.", True), Option("{{ side }}", True), Option("Up", False)), fixed=True)
    assert body.compare(1, "a b", {}).later == "“Left” and “{{ side }}”"
