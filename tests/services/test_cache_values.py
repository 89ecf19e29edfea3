import json
from dataclasses import dataclass, field
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

import strategies
from stickback.course import read as courses
from stickback.course.course import Course
from stickback.services import cache


@dataclass(frozen=True)
class Tree:
    """A value that holds every sort of field, and others of its own kind."""

    name: str
    kind: Literal["leaf", "branch"]
    size: float
    tall: bool
    at: tuple[int, str]
    names: frozenset[str]
    inside: dict[str, tuple[int, ...]]
    children: tuple["Tree", ...] = ()
    grown: object = field(default=None, compare=False)


LEAF = Tree("a", "leaf", 1, True, (3, "x"), frozenset({"b", "a"}), {"k": (1, 2)})


def there_and_back(value, of=Tree, **anew):
    return cache.unpacked(of, json.loads(json.dumps(cache.packed(value))), {"grown": None, **anew})


def test_a_value_comes_back_the_same_whatever_it_holds():
    tree = Tree("b", "branch", 0.1, False, (0, ""), frozenset(), {}, (LEAF, LEAF))
    assert there_and_back(tree) == tree


SIZES = st.floats(allow_nan=False) | st.integers(-9, 9)
WHOLE = st.builds(
    Tree,
    size=SIZES,
    inside=st.dictionaries(st.text(), st.lists(st.integers()).map(tuple)),
    children=st.just(()),
    grown=st.none(),
)


@given(
    st.recursive(WHOLE, lambda inner: st.builds(Tree, size=SIZES, children=st.lists(inner).map(tuple), grown=st.none()))
)
def test_any_value_comes_back_the_same(tree):
    assert there_and_back(tree) == tree


def test_what_is_no_part_of_a_value_is_left_out_and_given_anew():
    assert len(cache.packed(Tree("a", "leaf", 1, True, (3, "x"), frozenset(), {}, (), grown=print))) == 8
    assert there_and_back(LEAF, grown="anew").grown == "anew"


@pytest.mark.parametrize(
    ("place", "wrong"),
    [
        (0, 7),
        (0, None),
        (1, "root"),
        (1, []),
        (2, "1"),
        (3, 1),
        (4, [3]),
        (4, ["3", "x"]),
        (5, [["a"]]),
        (6, {"k": ["1"]}),
        (6, []),
        (7, [[]]),
        (7, 3),
    ],
)
def test_what_is_not_of_the_type_is_refused_and_never_half_made(place, wrong):
    torn = cache.packed(LEAF)
    torn[place] = wrong
    with pytest.raises((TypeError, ValueError, AttributeError)):
        cache.unpacked(Tree, torn, {"grown": None})


def test_a_type_that_has_no_plain_form_is_a_bug_of_whoever_asks():
    with pytest.raises(NotImplementedError, match="set"):
        cache.unpacked(set[str], [], {})


@given(st.dictionaries(strategies.names, strategies.contents))
def test_any_course_comes_back_the_same_but_for_what_is_inside_its_questions(files):
    read = courses.read(files.items())
    again = there_and_back(read, Course, read_inside=None)
    assert again == read
    assert list(again.questions) == list(read.questions)


def test_what_is_inside_a_question_is_looked_up_in_the_same_files(course):
    deck = "---\ntopic: three-point\n---\n\n## A {#a}\n\n- [x] B\n- [ ] C\n\n### Why\n\nSo.\n"
    read = course(deck)
    look = courses.inside_reader([("deck.md", deck.encode())])
    again = there_and_back(read, Course, read_inside=look).questions["a"]
    assert (again.body, again.why, again.hint) == (read.questions["a"].body, read.questions["a"].why, ())
