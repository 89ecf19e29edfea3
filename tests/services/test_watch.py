from threading import Event, Thread

from stickback.services import check


def test_a_save_is_told_by_its_name_in_its_course_and_other_files_are_not(written):
    place, stop = written(), Event()

    def save():
        while not stop.wait(0.05):  # the look begins at some time of its own
            (place / "deck.md~").write_text("a")
            (place / "aircraft" / "new.md").write_text("a")

    writer = Thread(target=save)
    writer.start()
    try:
        assert next(check.saves([place], stop)) == {place: {"aircraft/new.md"}}
    finally:
        stop.set()
        writer.join()
