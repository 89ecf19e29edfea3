import pytest

from conftest import FILES

TOPIC = "---\ntopic: yaw-causes\n---\n"
CHOICE = "\n- [x] Left\n- [ ] Right\n"


def asked(heading="## A {#q}", text=""):
    """A deck of one question on `yaw-causes`; its heading is line 4, its text line 5."""
    return f"{TOPIC}{heading}\n{text}\n{CHOICE}"


def hint(course, code):
    (problem,) = [each for each in course.problems if each.code == code]
    return problem.hint


@pytest.mark.parametrize("topic", ["yaw-causes", "keeping-straight", "three-point", "wheel-landing"])
def test_a_topic_of_the_plan_is_known(found, topic):
    assert found(asked(f"## A {{#q topic={topic}}}")) == []


def test_a_lesson_is_no_topic(found):
    assert found(asked("## A {#q topic=take-off}")) == ["deck.md:4:10 topic-unknown"]


def test_an_unknown_topic_of_the_front_matter_is_one_problem_for_all_its_questions(found):
    deck = f"---\ntopic: yaw\n---\n## A {{#a}}\n{CHOICE}\n## B {{#b}}\n{CHOICE}"
    assert found(deck) == ["deck.md:2:8 topic-unknown"]


def test_an_unknown_topic_of_the_front_matter_does_not_touch_a_question_that_says_its_own(course):
    read = course(f"---\ntopic: yaw\n---\n## A {{#a}}\n{CHOICE}\n## B {{#b topic=three-point}}\n{CHOICE}")
    assert (list(read.questions), read.left_out) == (["b"], (("deck.md", "A"),))


def test_a_near_topic_is_suggested(course):
    assert hint(course(asked("## A {#q topic=yaw-cause}")), "topic-unknown") == "did you mean 'yaw-causes'?"


def test_without_a_plan_no_topic_is_complained_about(found):
    assert found(asked(), **{"lesson-plan.md": None}) == ["lesson-plan.md:1:1 plan-missing"]


def test_a_value_of_any_sheet_or_one_that_follows_is_known(found):
    assert found(asked(text="{{ swing }} {{ approach_speed }} {{ callsign }}")) == []


def test_a_value_is_known_wherever_a_text_uses_it(found):
    plan = "---\n{id: a, title: A}\n---\n## A {#a}\n### B {#yaw-causes}\n{{ wing }}\n"
    assert found(asked(), **{"lesson-plan.md": plan}) == ["lesson-plan.md:6:1 value-unknown"]


def test_a_near_value_is_suggested(course):
    assert hint(course(asked(text="{{ swinge }}")), "value-unknown") == "did you mean 'swing'?"


def test_a_key_that_is_misspelt_on_the_sheets_is_to_be_mended_there(course):
    files = {name: text and text.replace("approach_speed", "aproach_speed") for name, text in FILES.items()}
    wanted = {name: text for name, text in files.items() if name.startswith("aircraft/")}
    read = course(asked(text="{{ approach_speed }}"), **wanted)
    assert hint(read, "value-unknown") == "on the sheets, write 'approach_speed' for 'aproach_speed'"


def test_without_a_sheet_no_value_and_no_restriction_is_complained_about(found):
    none = {"aircraft/quillon.md": None, "aircraft/mossbank.md": None}
    deck = asked("## A {#q brakes=hand}", "{{ wing }}")
    assert found(deck, **none) == ["aircraft/sheet.md:1:1 sheet-missing"]


@pytest.mark.parametrize(
    "only", ["brakes=heel", "propeller=anticlockwise", "phraseology=icao", "phraseology=faa", "rules=faa"]
)
def test_a_restriction_to_what_the_course_or_a_student_has_is_known(found, only):
    assert found(asked(f"## A {{#q {only}}}")) == []


@pytest.mark.parametrize(
    ("first", "then"),
    [("phraseology=uk", "phraseology=faa"), ("phraseology=uk", 'rules="faa icao"'), ("brakes=heel", "brakes=toe")],
)
def test_a_chain_that_goes_on_for_nobody_is_told_where_it_says_so(found, first, then):
    text = asked(f"## A {{#q {first} then=r}}") + asked(f"## B {{#r {then}}}").removeprefix(TOPIC)
    assert [each.split()[1] for each in found(text)] == ["then-apart"]
    other = asked("## A {#q then=r}") + asked(f"## B {{#r {then}}}").removeprefix(TOPIC)
    assert found(other) == []


@pytest.mark.parametrize(
    ("only", "code"),
    [
        ("brakes=hand", "attribute-value"),
        ("brakes=Toe", "attribute-value"),
        ("phraseology=us", "attribute-value"),
        ("station=tower", "attribute-unknown"),
        ("brake=toe", "attribute-unknown"),
        ("weight=2", "attribute-unknown"),
    ],
)
def test_a_restriction_that_nobody_meets_is_named_where_it_stands(found, only, code):
    assert found(asked(f"## A {{#q {only}}}")) == [f"deck.md:4:10 {code}"]


def test_the_values_that_a_restriction_may_have_are_listed(course):
    read = course(asked("## A {#q brakes=hand}"))
    assert hint(read, "attribute-value") == "write brakes= and one of: heel, toe"


def test_the_ids_of_lessons_and_topics_are_one_set_and_those_of_questions_another(found):
    assert found(asked("## A {#yaw-causes}")) == []


def test_a_doubled_id_is_named_where_it_comes_again_and_the_first_stands(course):
    read = course(asked("## A {#q}") + asked("## B {#q}").removeprefix(TOPIC))
    (problem,) = read.problems
    assert (problem.line, problem.column, problem.message) == (9, 7, "The id 'q' already stands at deck.md:4.")
    assert (read.questions["q"].title, read.left_out) == ("A", (("deck.md", "B"),))


def test_an_id_that_stands_three_times_is_two_problems(found):
    again = asked("## B {#q}").removeprefix(TOPIC)
    assert found(asked() + again + again) == ["deck.md:9:7 id-doubled", "deck.md:14:7 id-doubled"]


def test_a_near_footnote_is_suggested(course):
    read = course(asked(text="a[^skool]"), **{"sources.md": "[^school]: What we teach from.\n"})
    assert hint(read, "footnote-unknown") == "did you mean `[^school]`?"


def test_a_footnote_is_defined_in_its_own_file_or_in_the_list_of_sources(found):
    plan = "---\n{id: a, title: A}\n---\n## A {#a}\n### B {#yaw-causes}\nb[^a][^c]\n\n[^a]: In the plan.\n"
    sources = {"lesson-plan.md": plan, "sources.md": "[^b]: B.\n[^c]: C.\n"}
    assert found(asked(text="a[^b]"), **sources) == []
    assert found(asked(text="a[^a]"), **sources) == ["deck.md:5:2 footnote-unknown"]


def test_an_unknown_footnote_is_named_where_it_is_first_used_with_the_number_of_its_other_places(course):
    (told,) = course(asked(text="a[^a] b[^a] c[^a]")).problems
    assert (told.line, told.column, told.code) == (5, 2, "footnote-unknown")
    assert told.message.endswith("here and at 2 more places.")


def test_a_footnote_inside_a_definition_must_be_defined_too(found):
    assert found(asked(), **{"sources.md": "[^a]: See [^b].\n"}) == ["sources.md:1:11 footnote-unknown"]


@pytest.mark.parametrize(
    ("file", "path"),
    [("deck.md", "figures/stick.svg"), ("deck.md", "./figures//stick.svg"), ("aircraft/x.md", "../figures/stick.svg")],
)
def test_a_picture_is_looked_for_from_the_file_that_shows_it(course, file, path):
    codes = {each.code for each in course(others=("figures/stick.svg",), **{file: f"![A stick]({path})\n"}).problems}
    assert not {code for code in codes if code.startswith("picture")}


@pytest.mark.parametrize(
    "path",
    [
        "../figures/stick.svg",
        "figures/../../stick.svg",
        "..",
        "/etc/passwd",
        "\\\\server\\stick.svg",
        "C:/stick.svg",
        "file:///etc/passwd",
        "https://example.org/stick.svg",
        "//example.org/stick.svg",
        "data:image/png;base64,AA",
    ],
)
def test_a_picture_cannot_leave_the_course(found, path):
    assert found(asked(text=f"![A stick]({path})"), others=(path, "stick.svg")) == ["deck.md:5:1 picture-outside"]


def test_a_picture_is_found_under_the_name_that_the_link_spells_out(found):
    assert found(asked(text="![A](figures/b\u00f6e%20eins.svg)"), others=("figures/b\u00f6e eins.svg",)) == []


def test_a_picture_that_is_not_there_is_named_by_its_path_in_the_course(course):
    (problem,) = course(asked(text="![A](figures/x/../stik.svg)"), others=("figures/stick.svg",)).problems
    assert (problem.code, problem.message) == (
        "picture-missing",
        "There is no picture 'figures/stik.svg' in the course folder.",
    )


def test_options_that_read_the_same_with_the_values_of_one_sheet_are_named_with_it(course):
    read = course(f"{TOPIC}## A {{#q}}\n\n- [x] {{{{ swing }}}}\n- [ ] right\n")
    (problem,) = read.problems
    assert (problem.line, problem.code, read.questions) == (4, "value-same", {})
    assert "aircraft/mossbank.md" in problem.message


def test_options_may_read_the_same_where_the_question_is_never_asked(found):
    assert found(f"{TOPIC}## A {{#q propeller=clockwise}}\n\n- [x] {{{{ swing }}}}\n- [ ] right\n") == []
