"""For student and instructor: where the theory is weak, and where to read it up."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.services.debrief import Debrief
    from stickback.services.desk import Desk
    from stickback.study.debrief import Weak

FOR, RANK = "student", 40


@click.command()
@click.argument("lesson", required=False)
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def debrief(options: "Options", lesson: str | None, as_json: bool) -> None:
    """Where the theory is weak, worst first, and where to read it up."""
    import json

    from stickback.services import debrief as service

    desk = options.desk()
    found = service.debrief(desk, lesson)
    if as_json:
        click.echo(json.dumps(service.as_json(desk, found), indent=2, ensure_ascii=False))
    else:
        _debrief(desk, found)


def _debrief(desk: "Desk", found: "Debrief") -> None:
    from stickback import clock
    from stickback.cli.terminal import show
    from stickback.reading import text as texts

    if found.errors:
        show.heading("Seen in flight")
        errors = {seen.id: seen.text for lesson in desk.course.plan.lessons for seen in lesson.errors}
        for error in found.errors:
            day = clock.day_date(error.day)
            text = texts.line(errors.get(error.error, error.error), desk.sheet.values)
            show.say(f"{text} ({day}): {', '.join(error.topics)}")
    if found.misbeliefs:
        show.heading("Sure, but wrong")
        for question in found.misbeliefs:
            show.say(f"{texts.line(question.title, desk.sheet.values)} ({question.topic})")
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
    from stickback.cli.terminal import show

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
