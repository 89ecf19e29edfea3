def test_a_handout_is_a_page_in_html_and_no_other_file(place, tmp_path):
    assert place("handout", "feet", "--out", tmp_path / "feet.html").exit_code == 0
    assert (tmp_path / "feet.html").read_text().startswith("<!doctype html>")
    said = place.fails("handout", "feet", "--out", tmp_path / "feet.pdf", status=2)
    assert "'feet.pdf' ends in nothing that is known; write .html." in said
    assert not (tmp_path / "feet.pdf").exists()
