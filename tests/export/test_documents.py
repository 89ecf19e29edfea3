"""One document as HTML, PDF and plain lines: the same texts, which are shown and do nothing."""

import io
import re
import zipfile
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stickback.export import paper
from stickback.export.document import (
    WIDE,
    Blanks,
    Document,
    Facts,
    Grid,
    Heading,
    Items,
    Picture,
    Text,
    Title,
    wide,
    wrapped,
)
from stickback.export.table import Column, Table, as_workbook
from stickback.pictures import chart

HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{ 7 * 7 }} {% include 'x' %}",
    '#panic("x") $x$ *b* @ref <label> \\ // /*',
    '=HYPERLINK("http://x")',
    "http://example.org",
    "&amp; ]]> '--",
]
BAR = Picture(chart.bar(0.5, 0.4, 0.7), "50 %")


def document(*words):
    """Every part there is, with these words in every place that takes any."""
    word = " ".join(words)
    return Document(
        title=word,
        day=date(2026, 6, 1),
        parts=(
            Title(word, word),
            Heading(word),
            Text(word),
            Text(word, "strong"),
            Text(word, "small"),
            Items((word, word)),
            Items((word,), "numbers"),
            Items((word,), "boxes"),
            Facts(((word, word),)),
            BAR,
            Grid((word, "", word), ((word, BAR, word),), frozenset({2})),
            Blanks((word, word)),
            Title(word),
        ),
        foot=word,
    )


class Seen(HTMLParser):
    """The elements of a page with their attributes, and its text."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.attributes, self.said = set(), set(), []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data):
        self.said.append(data)


@pytest.mark.parametrize("word", HOSTILE)
def test_in_html_whatever_is_written_is_shown_and_does_nothing(word):
    plain, page = Seen(paper.as_html(document("word"))), Seen(paper.as_html(document(word)))
    assert (page.tags, page.attributes) == (plain.tags, plain.attributes)
    assert sum(word in each for each in page.said) == 21
    assert not page.tags & {"script", "img", "iframe", "object", "a"}


def test_an_html_file_needs_nothing_else_and_may_load_nothing():
    page = paper.as_html(document("word"))
    assert "default-src 'none'" in page
    assert not re.search(r"(src|href)=|url\(|@import", page)


@pytest.mark.parametrize("word", ["word", *HOSTILE])
def test_a_pdf_is_made_whatever_is_written(word):
    assert paper.as_pdf(document(word)).startswith(b"%PDF-")


@pytest.mark.parametrize("made", [paper.as_html, paper.as_pdf])
def test_the_same_document_gives_the_same_bytes_and_another_day_others(made):
    one = document("Ada Quill")
    assert made(one) == made(one)
    assert made(replace(one, title="Bram Teasel")) != made(one)
    assert paper.as_pdf(replace(one, day=date(2026, 6, 2))) != paper.as_pdf(one)


LONG = st.integers(1, 150).flatmap(
    lambda most: st.text(st.characters(exclude_categories=["C", "Z"]), min_size=most, max_size=150)
)


@given(LONG | st.text("ab⺀￫ -", min_size=80, max_size=150))
def test_as_lines_nothing_is_wider_than_the_page(word):
    assert all(wide(line) <= WIDE for line in document(word).lines())


@given(st.lists(st.text("ab⺀-", min_size=1, max_size=28), min_size=1))
def test_as_lines_no_word_is_lost_nor_torn_but_at_a_hyphen(words):
    lines = wrapped(" ".join(words), 60, "  ")
    assert "".join(lines).replace(" ", "") == "".join(words)
    assert all(any(word in line for line in lines) for word in words if "-" not in word)


def test_a_column_in_which_nothing_stands_is_left_out():
    grid = Grid(("Day", "How", "Note"), (("1", "", "gusty"), ("2", "", "")), frozenset({0, 2}), 1)
    assert grid.filled() == Grid(("Day", "Note"), (("1", "gusty"), ("2", "")), frozenset({0, 1}), 1)


def test_a_title_that_lies_on_its_side_turns_its_own_page_alone():
    made = Document(title="x", day=date(2026, 6, 1), parts=(Title("Wide", wide=True), Text("a"), Title("Tall")))
    page = paper.as_html(made)
    assert page.count("<section") == 2
    assert page.count('<section class="wide"') == 1
    pdf = paper.as_pdf(made)
    assert pdf.count(b"/MediaBox[0 0 841") == pdf.count(b"/MediaBox[0 0 595") == 1


def test_on_a_phone_every_cell_can_say_the_head_of_its_column():
    grid = Grid(("Name", "<b>"), (("Ada", "–"),))
    page = paper.as_html(Document(title="x", day=date(2026, 6, 1), parts=(Title("x"), grid)))
    assert 'data-head="&lt;b&gt;" class="none' in page


# workbook


def table(*words):
    columns = (
        Column("student", "string", "", "name", str),
        Column("known", "number", "share", "how well", str),
        Column("date", "date", "", "when", str),
        Column("errors", "strings", "", "seen", str),
        Column("must", "boolean", "", "whether", str),
    )
    return Table(columns, tuple((word, 0.25, "2026-06-01", (word, "b"), True) for word in words), {})


def opened(*words):
    made = as_workbook({"overview": table(*words)}, [("program", "stickback 0")], date(2026, 6, 1))
    return made, openpyxl.load_workbook(io.BytesIO(made))


@pytest.mark.parametrize("word", HOSTILE)
def test_in_a_workbook_no_text_is_run_or_followed(word):
    made, book = opened(word)
    cell = book["overview"]["A2"]
    assert (cell.value, cell.data_type, cell.hyperlink) == (word, "s", None)
    names = zipfile.ZipFile(io.BytesIO(made)).namelist()
    assert not any("externalLinks" in name or "vba" in name for name in names)


def test_a_workbook_holds_figures_as_figures_and_says_what_each_column_means():
    _, book = opened("Ada")
    head, row = book["overview"].iter_rows(values_only=True)
    assert head == ("student", "known", "date", "errors", "must")
    assert (row[1], row[2].date(), row[3], row[4]) == (0.25, date(2026, 6, 1), "Ada; b", "yes")
    assert book["overview"]["B2"].number_format == "0 %"
    assert book["overview"].freeze_panes == "B2"
    about = dict(row[:2] for row in book["about"].iter_rows(values_only=True))
    assert about["program"] == "stickback 0"
    assert about["known"] == "how well; number, share, 0 to 1"


def test_the_same_tables_and_day_give_the_same_workbook():
    assert opened("Ada", "Bram")[0] == opened("Ada", "Bram")[0]
    assert opened()[1]["overview"].max_row == 1
