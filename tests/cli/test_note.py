import pytest

from worlds import squeezed


def test_a_note_is_written_beside_a_topic_and_shown_with_it_its_lesson_and_the_brief(place):
    assert "Noted beside “What the feet do”" in place.does("note", "feet", "heels", "on", "the", "floor")
    assert "Your notes - heels on the floor (1 June 2026) stickback" in squeezed(place.does("lesson", "feet"))
    for command in (("lesson", "1"), ("brief", "1"), ("note", "feet"), ("note",)):
        assert "Your notes What the feet do - heels on the floor (1 June 2026)" in squeezed(place.does(*command))


def test_a_topic_without_notes_says_so_and_lessons_are_silent_about_it(place):
    assert place.does("note") == "You have no notes yet; `stickback note TOPIC TEXT` writes one.\n"
    assert place.does("note", "feet") == "There is no note beside “What the feet do” yet.\n"
    assert "Your notes" not in place.does("lesson", "feet")


def test_the_newest_note_can_be_taken_away(place):
    place.does("note", "feet", "first")
    place.does("note", "feet", "second")
    assert place.does("note", "feet", "--remove") == "Taken away beside “What the feet do”: second\n"
    assert "first" in place.does("note", "feet")
    assert "second" not in place.does("note", "feet")


@pytest.mark.parametrize("wrong", [("--remove",), ("feet", "text", "--remove")])
def test_only_the_newest_note_of_a_topic_is_taken_away(place, wrong):
    assert "stickback note TOPIC --remove" in place("note", *wrong).stderr


def test_what_is_no_topic_takes_no_note(place):
    assert "no topic 'moon'" in place.fails("note", "moon", "far")
    assert "nothing to note" in place.fails("note", "feet", "??")
