import re
from dataclasses import replace

import pytest

from stickback.reading import markup
from stickback.refused import Refused
from stickback.services import folder, try_
from stickback.web import html as web


@pytest.fixture(scope="module")
def shipped():
    return folder.load(folder.shipped())


def page(course, name, **wishes):
    found = try_.handout(course, name, **{"aircraft": None, "phraseology": "uk", "seed": 0, **wishes})
    return found, web.handout(course, folder.shipped(), found)


def test_every_question_of_a_topic_is_printed_and_answered_overleaf(shipped):
    found, text = page(shipped, "yaw-causes")
    asked, overleaf = text.split('<div class="overleaf">')
    many = len(found.trials)
    assert {trial.question.topic for trial in found.trials} == {"yaw-causes"}
    assert re.findall(r'class="number">(\d+)<', asked) == [str(n) for n in range(1, many + 1)]
    assert re.findall(r'class="number">(\d+)<', overleaf) == [str(n) for n in range(1, many + 1)]
    assert 'class="why"' not in asked


def test_a_lesson_is_all_its_topics_and_each_aeroplane_has_its_own_sides(shipped):
    found, text = page(shipped, "take-off", aircraft="pendlewick")
    assert len({trial.question.topic for trial in found.trials}) > 1
    assert text != page(shipped, "take-off", aircraft="brackle")[1]


def test_overleaf_it_stands_beside_a_point_what_it_means(shipped):
    overleaf = page(shipped, "take-off")[1].split('<div class="overleaf">')[1]
    assert "</strong> (a must)</p>" in overleaf
    assert " (fails the answer if said)</p>" in overleaf


def test_the_same_seed_prints_the_same_page_and_another_draws_other_figures(shipped):
    assert page(shipped, "wind-sums")[1] == page(shipped, "wind-sums")[1]
    assert page(shipped, "wind-sums")[1] != page(shipped, "wind-sums", seed=1)[1]


def test_the_page_needs_no_other_file(shipped):
    for lesson in shipped.plan.lessons:
        _, text = page(shipped, lesson.id)
        assert [
            link for link in re.findall(r'(?:src|href)="([^"]*)"', text) if not link.startswith(("data:", "#"))
        ] == []


def test_a_name_that_the_plan_does_not_have_is_refused(shipped):
    with pytest.raises(Refused):
        page(shipped, "nowhere")


def test_a_picture_is_held_by_the_page_whatever_letters_its_name_has(shipped, tmp_path):
    (tmp_path / "b\u00f6e eins.svg").write_text("<svg/>")
    found = try_.handout(shipped, "yaw-causes", aircraft=None, phraseology="uk", seed=0)
    question = found.trials[0].question
    inside = replace(question.read_inside(question), why=markup.blocks("![a gust](b\u00f6e%20eins.svg)"))
    shown = replace(question, read_inside=lambda _: inside)
    text = web.handout(shipped, tmp_path, replace(found, trials=(replace(found.trials[0], question=shown),)))
    assert 'src="data:image/svg+xml;base64,PHN2Zy8+"' in text
