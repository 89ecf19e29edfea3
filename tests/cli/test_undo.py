from worlds import exported


def test_undo_takes_the_last_back_and_leaves_it_in_the_log(school):
    last = exported(school, student="me")[-1]
    shown = school.does("undo")
    assert f"'{last['question'].removeprefix('small/')}' of 2026-06-01" in shown
    (void,) = [entry for entry in exported(school) if entry["what"] == "void"]
    assert (void["student"], void["voids"]) == ("me", last["id"])
    assert last in exported(school)


def test_undo_goes_back_step_by_step_until_nothing_is_left(school):
    shown = "".join(school.does("undo") for _ in range(5))
    assert (shown.count("the answer to"), shown.count("the flown lesson")) == (4, 1)
    assert school.fails("undo") == "There is nothing to take back."
    assert len([entry for entry in exported(school) if entry["what"] == "void"]) == 5
