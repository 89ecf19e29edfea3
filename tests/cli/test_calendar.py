def test_the_calendar_is_printed_or_written(place, tmp_path):
    shown = place.does("calendar", "--at", "07:15")
    assert shown.startswith("BEGIN:VCALENDAR\n")
    assert "T071500\n" in shown
    place("calendar", "--out", str(tmp_path / "me.ics"))
    assert (tmp_path / "me.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")


def test_the_end_of_the_course_has_the_name_it_has_everywhere(place):
    place.does("student", "set", "me", "--checkride", "2026-06-11")
    assert "SUMMARY:Differences sign-off\n" in place.does("calendar")


def test_a_time_that_is_none_is_wrong_use(place):
    assert place("calendar", "--at", "25:00").exit_code == 2
