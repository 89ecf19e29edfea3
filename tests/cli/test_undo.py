from worlds import exported


def test_undo_takes_the_last_back_and_leaves_it_in_the_log(school):
    last = exported(school, student="me")[-1]
    shown = school.does("undo")
    assert shown == "Taken back: the flown lesson “Lesson 1: The ground” of 1 June 2026.\n"
    assert "Taken back: the answer to “" in school.does("undo")
    void = next(entry for entry in exported(school) if entry["what"] == "void")
    assert (void["student"], void["voids"]) == ("me", last["id"])
    assert last in exported(school)


def test_undo_goes_back_step_by_step_until_nothing_is_left(school):
    shown = "".join(school.does("undo") for _ in range(5))
    assert (shown.count("the answer to"), shown.count("the flown lesson")) == (4, 1)
    assert school.fails("undo") == "There is nothing to take back."
    assert len([entry for entry in exported(school) if entry["what"] == "void"]) == 5
