import csv
import io
import json
from dataclasses import replace

from stickback.export import table as tables
from stickback.readiness import items
from stickback.readiness.items import Share
from stickback.services import note, questions, review
from stickback.words import questions as words


def behaved(school):
    return {one.question.id: one for one in questions.behaved(school.course, school.store)}


def test_answers_are_told_apart_at_first_sight_and_on_later_days_and_practice_counts_for_nothing(school, hands):
    asked, _ = hands.finish(school.begin(0), lambda name: (name != "nose", "sure"))
    assert "nose" in asked
    hands.finish(school.begin(1))
    found = behaved(school)["nose"].item
    assert (found.first.part, found.first.of) == (0, 1)
    assert (found.later.part, found.later.of, found.answers) == (1, 1, 2)
    assert (found.wrong_sure.part, found.wrong_sure.of) == (1, 2)


def test_the_options_taken_are_those_of_the_file_however_they_were_shuffled(school, hands):
    hands.finish(school.begin(0))
    (right, *wrong) = behaved(school)["nose"].item.options
    assert (right.place, right.right, right.taken.part) == (1, True, 1)
    assert [each.taken.part for each in wrong] == [0, 0, 0]


def test_an_answer_that_was_taken_back_is_not_counted(school, hands):
    session, _ = hands.answer(school.begin(0), right=False)
    session.desk.undo()
    assert behaved(school) == {}


def test_the_figures_are_written_as_text_csv_and_json_alike(school, hands):
    hands.finish(school.begin(0), lambda name: (name != "nose", "sure"))
    found = questions.behaved(school.course, school.store)
    made = words.table(found, {"course": "tw"})
    rows = {row["question"]: row for row in csv.DictReader(io.StringIO(tables.as_csv(made)))}
    assert rows["nose"]["first"] == "0.0"
    assert rows["nose"]["options"].startswith("1* 0, ")
    assert rows.keys() == {one.question.id for one in found}
    assert "nose" in json.dumps(json.loads(tables.as_json(made, {}, "question")))
    (nose,) = [one for one in found if one.question.id == "nose"]
    assert words.figures(nose).startswith("1 student · 0 of 1 right at first sight")


def test_the_words_of_a_flag_stand_beside_the_figures_of_its_question(school, hands):
    session = school.begin(0)
    step = review.ask(session)
    note.flag(session, step, "which of the two?")
    assert behaved(school)[step.question.id].notes == ("which of the two?",)
    assert behaved(school)[step.question.id].item is None


def test_of_few_answers_no_percentage_is_told_and_no_discrimination(school, hands):
    hands.finish(school.begin(0))
    (nose,) = [one for one in questions.behaved(school.course, school.store) if one.question.id == "nose"]
    many = replace(
        nose.item, first=Share(30, 40), later=Share(0, 0), students=40, discrimination=0.314, judged=items.FEWEST
    )
    few = replace(many, first=Share(3, 4), judged=items.FEWEST - 1)
    assert words.figures(replace(nose, item=many)).startswith(
        "40 students · 75\xa0% right at first sight · discrimination +0.31 over 20"
    )
    assert words.figures(replace(nose, item=few)).startswith("40 students · 3 of 4 right at first sight · 5 s")
