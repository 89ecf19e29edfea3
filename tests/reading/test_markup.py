import pytest
from hypothesis import given

import strategies
from stickback.reading import markup
from stickback.reading.markup import Block


def blocks(text):
    return [(each.kind, each.line, each.end, each.text) for each in markup.every(markup.blocks(text))]


def test_a_heading_knows_its_line_text_and_level():
    assert markup.blocks("\n## Which *way*? {#q} ##\n") == (
        Block(kind="heading", line=2, end=2, text="Which *way*? {#q}", level=2),
    )


def test_an_underlined_heading_is_one_too():
    assert markup.blocks("Which\nway?\n---") == (Block(kind="heading", line=1, end=2, text="Which\nway?", level=2),)


def test_a_paragraph_keeps_its_inline_markup_and_its_lines():
    assert blocks("One **two**\n  three [^a]\n\nfour") == [
        ("paragraph", 1, 2, "One **two**\n  three [^a]"),
        ("paragraph", 4, 4, "four"),
    ]


def test_a_list_holds_items_that_hold_blocks():
    assert blocks("- [x] a\n- b\n\n  c\n  1. d\n") == [
        ("bullets", 1, 5, ""),
        ("item", 1, 1, ""),
        ("paragraph", 1, 1, "[x] a"),
        ("item", 2, 5, ""),
        ("paragraph", 2, 2, "b"),
        ("paragraph", 4, 4, "c"),
        ("numbers", 5, 5, ""),
        ("item", 5, 5, ""),
        ("paragraph", 5, 5, "d"),
    ]


def test_lists_with_different_bullets_are_different_lists():
    assert [each.kind for each in markup.blocks("- a\n* b\n+ c\n1. d\n")] == [
        "bullets",
        "bullets",
        "bullets",
        "numbers",
    ]


def test_the_empty_lines_under_a_list_do_not_belong_to_it():
    assert [(each.line, each.end) for each in markup.blocks("- a\n\n\n\n## b\n")] == [(1, 1), (5, 5)]


def test_a_quotation_holds_blocks():
    assert blocks("> a\n> - b\n") == [
        ("quote", 1, 2, ""),
        ("paragraph", 1, 1, "a"),
        ("bullets", 2, 2, ""),
        ("item", 2, 2, ""),
        ("paragraph", 2, 2, "b"),
    ]


def test_a_fenced_block_keeps_its_text_and_what_stands_behind_its_ticks():
    assert markup.blocks("```  number x \na: 1\n\n- [x] b\n```\n") == (
        Block(kind="fence", line=1, end=5, text="a: 1\n\n- [x] b\n", info="number x"),
    )


def test_text_set_to_the_right_is_a_block_of_its_own():
    assert blocks("    - [x] a\n\n***") == [("indented", 1, 1, "- [x] a\n"), ("rule", 3, 3, "")]


def test_a_table_holds_rows_of_one_paragraph_a_cell():
    assert blocks("| a | b |\n| - | - |\n| c |  |\n") == [
        ("table", 1, 3, ""),
        ("row", 1, 1, ""),
        ("paragraph", 1, 1, "a"),
        ("paragraph", 1, 1, "b"),
        ("row", 3, 3, ""),
        ("paragraph", 3, 3, "c"),
        ("paragraph", 3, 3, ""),
    ]


def test_html_is_text():
    assert blocks("<script>\nx\n</script>\n") == [("paragraph", 1, 3, "<script>\nx\n</script>")]


def test_a_definition_of_a_link_stays_text():
    assert blocks("[a]: https://example.org\n") == [("paragraph", 1, 1, "[a]: https://example.org")]


def test_html_inside_a_line_is_text_too():
    assert [(each.type, each.content) for each in markup.inline("*a* <b>")] == [
        ("em_open", ""),
        ("text", "a"),
        ("em_close", ""),
        ("text", " <b>"),
    ]


def test_a_section_reaches_to_the_next_heading_of_its_level_or_above():
    intro, parts = markup.sections(markup.blocks("a\n\n## B\n\nc\n\n### D\n\ne\n\n# F\n\ng\n\n## H\n"), 2)
    assert [each.text for each in intro] == ["a"]
    assert [(each.heading.text, [block.text for block in each.blocks], each.end) for each in parts] == [
        ("B", ["c", "D", "e"], 9),
        ("H", [], 15),
    ]


@given(strategies.texts)
def test_the_blocks_of_any_text_lie_inside_it_and_inside_one_another(text):
    end = len(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
    tops = markup.blocks(text)
    assert [each for each in markup.every(tops) if not 1 <= each.line <= each.end <= end] == []
    pairs = [(parent, child) for parent in markup.every(tops) for child in parent.children]
    assert [pair for pair in pairs if not pair[0].line <= pair[1].line <= pair[1].end <= pair[0].end] == []


@pytest.mark.parametrize(
    ("text", "closed"),
    [
        ("```\na\n```", True),
        ("```\n\n\n```\n\nb", True),
        ("```\n```", True),
        ("- ```\n  a\n  ```", True),
        ("> ```\n> a\n> ```", True),
        ("```", False),
        ("```\na", False),
        ("```\n\n", False),
        ("```\na\n    ```", False),
        ("- ```\n  a\n\nb", False),
        ("> ```\n> a\n\nb", False),
    ],
)
def test_a_fenced_block_knows_whether_it_is_closed(text, closed):
    assert [each.closed for each in markup.every(markup.blocks(text)) if each.kind == "fence"] == [closed]


def test_what_stands_in_no_section_is_outside_and_so_is_a_higher_heading():
    blocks = markup.blocks("a\n\n# B\n\nc\n\n## D\n\ne\n\n### F\n\n# G\n\n### H\n\n## I\n\nj\n")
    assert [each.text for each in markup.outside(blocks, 2)] == ["a", "B", "c", "G", "H"]
