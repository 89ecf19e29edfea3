def test_what_is_found_is_shown_with_the_command_that_reads_it(place):
    shown = place.does("find", "approach")
    assert "stickback lesson" in shown or "stickback review --topic" in shown


def test_words_that_nothing_holds_are_said_to_be_nowhere(place):
    run = place("find", "zeppelin", "mooring")
    assert (run.exit_code, run.output) == (1, "Nothing in this course and your notes holds “zeppelin mooring”.\n")
