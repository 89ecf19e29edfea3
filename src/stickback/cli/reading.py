"""To read: the lesson plan, the brief before a lesson and the debrief after it."""

import json
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.course.course import Course
    from stickback.course.plan import Lesson, Plan, Topic
    from stickback.services.debrief import Debrief
    from stickback.services.desk import Desk
    from stickback.study.debrief import Weak


@click.command()
@click.argument("name", metavar="[ID]", required=False)
@click.pass_obj
def lesson(options: "Options", name: str | None) -> None:
    """Read the lesson plan: all of it as a list, or one lesson or topic."""
    from stickback.course.plan import Lesson
    from stickback.services import desk as desks
    from stickback.services import lesson as service
    from stickback.store import people

    course = options.load()
    if name is None:
        _plan(course.plan)
        return
    found = service.find(course, name)
    sheet = desks.sheet_of(course, people.find(options.database(), options.student))
    if isinstance(found, Lesson):
        _lesson(course, found, sheet.values)
    else:
        _topic(course, found, sheet.values)


def _plan(plan: "Plan") -> None:
    from stickback.cli import show

    show.heading(plan.title)
    show.console().print()
    show.flow(plan.intro, {})
    for each in plan.lessons:
        show.heading(each.title)
        show.columns((topic.id, topic.title + (" (must)" if topic.must else "")) for topic in each.topics)
    show.console().print()
    show.say("stickback lesson ID   reads a lesson (by number or id) or a topic.", indent=0)


def _lesson(course: "Course", found: "Lesson", values: dict[str, str]) -> None:
    from stickback.cli import show

    show.heading(found.title)
    show.console().print()
    show.flow(found.blocks, values)
    _errors(found, values)
    show.heading("Topics")
    show.columns((topic.id, topic.title + (" (must)" if topic.must else "")) for topic in found.topics)
    _sources(course, found.blocks)


def _errors(found: "Lesson", values: dict[str, str]) -> None:
    from rich.text import Text

    from stickback.cli import show
    from stickback.reading import render

    if found.errors:
        show.heading("Errors seen")
    for seen in found.errors:
        show.wrapped(Text(render.line(seen.text, values)), "  - ", "    ")
        show.say(f"{seen.id} → {', '.join(seen.topics)}", style="dim", indent=4)


def _topic(course: "Course", found: "Topic", values: dict[str, str]) -> None:
    from stickback.cli import show

    number = next(each.number for each in course.plan.lessons if each.id == found.lesson)
    show.heading(found.title)
    must = " · a must: a matter of safety" if found.must else ""
    show.say(f"Lesson {number} · weight {found.weight}{must}", style="dim", indent=0)
    show.console().print()
    show.flow(found.blocks, values)
    _sources(course, found.blocks)
    show.console().print()
    show.say(f"stickback review --topic {found.id}   asks about it.", indent=0)


def _sources(course: "Course", blocks: object) -> None:
    from rich.text import Text

    from stickback.cli import show
    from stickback.reading import render
    from stickback.services import lesson as service

    found = service.sources(course, render.notes(blocks))  # type: ignore[arg-type]
    if found:
        show.heading("Sources")
    for source in found:
        show.wrapped(Text(render.line(source, {}), style="dim"), "  - ", "    ")


@click.command()
@click.argument("lesson")
@click.pass_obj
def brief(options: "Options", lesson: str) -> None:
    """Before a lesson: its text, this aeroplane's numbers, its questions."""
    from stickback import amount
    from stickback.cli import show
    from stickback.services import brief as service

    desk = options.desk()
    found = service.brief(desk, lesson)
    show.heading(found.lesson.title)
    show.console().print()
    show.flow(found.lesson.blocks, desk.sheet.values)
    _errors(found.lesson, desk.sheet.values)
    show.heading(f"This aeroplane: {desk.sheet.name}")
    show.columns(found.numbers)
    show.say("The flight manual of the aeroplane you fly is the only source of its numbers.", style="dim")
    show.heading("Questions")
    for topic in found.lesson.topics:
        rows = [(known, question) for question, known in found.questions if question.topic == topic.id]
        seen = [known for known, _ in rows if known is not None]
        mean = amount.percent(sum(seen) / len(seen)) if seen else "unseen"
        show.say(f"{topic.title}: {amount.many(len(rows), 'question')}, {len(seen)} seen, known {mean}")
    show.console().print()
    show.say(f"stickback review --lesson {found.lesson.id}   asks them.", indent=0)


@click.command()
@click.argument("lesson", required=False)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def debrief(options: "Options", lesson: str | None, as_json: bool) -> None:
    """Where the theory is weak, worst first, and where to read it up."""
    from stickback.services import debrief as service

    desk = options.desk()
    found = service.debrief(desk, lesson)
    if as_json:
        click.echo(json.dumps(service.as_json(desk, found), indent=2, ensure_ascii=False))
    else:
        _debrief(desk, found)


def _debrief(desk: "Desk", found: "Debrief") -> None:
    from stickback import clock
    from stickback.cli import show
    from stickback.reading import render

    if found.errors:
        show.heading("Seen in flight")
        texts = {seen.id: seen.text for lesson in desk.course.plan.lessons for seen in lesson.errors}
        for error in found.errors:
            day = clock.day_date(error.day)
            text = render.line(texts.get(error.error, error.error), desk.sheet.values)
            show.say(f"{text} ({day}): {', '.join(error.topics)}")
    if found.misbeliefs:
        show.heading("Sure, but wrong")
        for question in found.misbeliefs:
            show.say(f"{render.line(question.title, desk.sheet.values)} ({question.topic})")
    if not found.weak:
        show.console().print()
        seen = any(one.known is not None for one in desk.standings(desk.number))
        show.say("Nothing is weak today." if seen else "Nothing was answered yet: `stickback review` begins.", indent=0)
        return
    show.heading("Weak topics, worst first")
    for one in found.weak:
        _weak(desk, one)


def _weak(desk: "Desk", one: "Weak") -> None:
    from stickback import amount
    from stickback.cli import show

    title = next(lesson.title for lesson in desk.course.plan.lessons if lesson.id == one.topic.lesson)
    known = "not asked yet" if one.known is None else f"known {amount.percent(one.known)}"
    facts = [known, f"{one.seen} of {one.questions} seen", f"{one.rusty} rusty"]
    if one.misbeliefs:
        facts.append(f"{len(one.misbeliefs)} sure but wrong")
    if one.errors:
        facts.append("seen in flight")
    show.console().print()
    show.say(f"{one.topic.title}{' (must)' if one.topic.must else ''}", style="bold")
    show.say(f"{title} · {' · '.join(facts)}", indent=4)
    show.say(f"stickback lesson {one.topic.id}", indent=4)
