from stickback.pictures import figure
from stickback.reading import document, text
from stickback.words import plain


def lines(written, course=None):
    return plain.lines(document.of_text(written, "d.md").blocks, {"foot": "right"}, course)


def test_a_paragraph_an_item_and_a_row_are_a_line_each():
    written = "The {{ foot }} *foot*.[^a]\nGently.\n\n- a\n- b\n\n1. c\n\n> said\n\n| x | y |\n| - | - |\n| 1 | 2 |\n"
    assert lines(written) == ["The right foot. Gently.", "- a", "- b", "1. c", "| said", "x | y", "1 | 2"]


def test_what_stands_inside_an_item_stands_behind_its_mark():
    assert lines("- a\n\n  b\n\n  > said\n") == ["- a", "  b", "  | said"]


def test_code_keeps_its_lines():
    assert lines("```\none\ntwo\n```\n") == ["one", "two"]


def test_a_picture_is_what_it_shows_and_its_file_where_the_course_is_at_hand(tmp_path):
    (tmp_path / "disc.svg").write_text("<svg/>")
    written = "![The disc](disc.svg)\n\n![Lost](gone.svg)\n"
    assert lines(written) == ["The disc", "Lost"]
    assert lines(written, tmp_path) == ["The disc", f"Picture: {tmp_path / 'disc.svg'}", "Lost"]


def test_a_figure_is_its_sentence():
    written = "```figure\nscene: propeller\npropeller: clockwise\neffect: torque\n```\n"
    (node,) = text.tree(document.of_text(written, "d.md").blocks, {})
    assert lines(written) == [figure.sentence(node.words)]
