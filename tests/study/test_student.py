from dataclasses import fields
from datetime import date

import pytest

from stickback.course.course import PHRASEOLOGIES
from stickback.study.student import LEAST_TARGET, ME, MOST_MINUTES, MOST_TARGET, Student, settings_text, with_settings


def test_a_new_student_has_ten_minutes_a_day_a_target_of_nine_in_ten_and_the_uk_phraseology():
    new = Student(name=ME)
    assert (new.minutes, new.target, new.phraseology) == (10, 0.9, "uk")


def test_what_a_new_student_never_set_is_none():
    unset = {field.name for field in fields(Student) if getattr(Student(name="ada"), field.name) is None}
    assert unset == {"aircraft", "checkride", "next_lesson", "next_on", "zone"}


def test_the_defaults_lie_within_what_can_be_set():
    new = Student(name="ada")
    assert LEAST_TARGET <= new.target <= MOST_TARGET
    assert 1 <= new.minutes <= MOST_MINUTES
    assert new.phraseology in PHRASEOLOGIES


def test_a_student_must_have_a_name():
    with pytest.raises(TypeError):
        Student()


def test_settings_come_back_from_their_text_whole():
    one = Student(name="ada", checkride=date(2026, 9, 1), abroad=True, listen="pace 120, noise light")
    assert with_settings("ada", settings_text(one)) == one


def test_settings_of_an_earlier_version_leave_the_later_ones_as_they_are_for_a_new_student():
    assert with_settings("ada", '{"minutes":15}') == Student(name="ada", minutes=15)


@pytest.mark.parametrize("text", ['{"abroad":1}', '{"abroad":"yes"}', '{"listen":true}', '{"listen":"loud"}'])
def test_settings_that_cannot_be_are_none(text):
    with pytest.raises(ValueError, match=r"gives no settings|is none of them"):
        with_settings("ada", text)
