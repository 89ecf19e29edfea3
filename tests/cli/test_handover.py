def test_a_new_instructor_reads_facts_on_one_page(school):
    school.does("note", "feet", "the left heel, early")
    school.does("flown", 1, "--error", "late-foot", "--by", "Ina Vesper", "--dual", "--note", "tired")
    shown = school.does("handover", "me")
    for fact in (
        "Handover: me",
        "Lesson 1: The ground",
        "Taxiing: the foot comes late (Lesson 1: The ground",
        "said to be Ina Vesper's",
        "tired",
        "What the feet do: the left heel, early (1 June 2026)",
        "it certifies nothing",
    ):
        assert fact in shown
    assert "Standard" not in shown  # a column in which nothing stands is left out


def test_whoever_answered_nothing_is_handed_over_as_such(place):
    shown = place.does("handover", "me")
    assert "no lesson recorded" in shown
    assert "Last answer  none" in shown


def test_an_oral_is_one_of_the_facts(school):
    school.does("exam", "--by", "Ina Vesper", "--questions", 1, "--seed", 3, typed="all\nwrong\n")
    assert "Last oral" in school.does("handover", "me")


def test_the_page_is_one_sheet_of_paper_whose_words_do_nothing(school, tmp_path):
    school.does("note", "feet", "<script>alert(1)</script>")
    for name in ("page.html", "page.pdf"):
        assert school("handover", "me", "--out", tmp_path / name).exit_code == 0
    page = (tmp_path / "page.html").read_text()
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "<script" not in page
    assert b"/Type/Pages/Count 1/" in (tmp_path / "page.pdf").read_bytes()  # pages of the document


def test_a_student_who_is_not_there_and_a_form_that_is_not_known_are_refused(school, tmp_path):
    assert "Nobody" in school.fails("handover", "Nobody")
    assert school("handover", "me", "--out", tmp_path / "page.docx").exit_code == 2
