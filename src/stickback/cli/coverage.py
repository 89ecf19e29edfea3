"""For the instructor: what the plan teaches and nothing asks."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options
    from stickback.course.craft import Coverage

FOR, RANK = "instructor", 20


@click.command()
@click.option("--json", "as_json", is_flag=True, help="As JSON.")
@click.pass_obj
def coverage(options: "Options", as_json: bool) -> None:
    """Count what asks about each topic.

    Names what the plan teaches and nothing asks.

    Exit status 1 when something is wanting.
    """
    import json

    from stickback.course import craft

    found = craft.coverage(options.load())
    if as_json:
        rows = [
            {
                "topic": one.topic.id,
                "lesson": one.topic.lesson,
                "weight": one.topic.weight,
                "must": one.topic.must,
                "questions": sum(one.kinds.values()),
                "kinds": one.kinds,
                "gaps": list(one.gaps),
            }
            for one in found
        ]
        click.echo(json.dumps(rows, indent=2))
    else:
        _coverage(found)
    if any(one.gaps for one in found):
        click.get_current_context().exit(1)


def _coverage(found: "list[Coverage]") -> None:
    from stickback import amount
    from stickback.cli.terminal import show

    kinds = sorted({kind for one in found for kind in one.kinds})
    rows = [("topic", "weight", "all", *kinds, "wanted")]
    for one in found:
        counts = [str(one.kinds.get(kind, "-")) for kind in kinds]
        weight = f"{one.topic.weight}{' must' if one.topic.must else ''}"
        rows.append((one.topic.id, weight, str(sum(one.kinds.values())), *counts, "; ".join(one.gaps)))
    show.columns(rows, 0)
    gaps = sum(bool(one.gaps) for one in found)
    questions = sum(sum(one.kinds.values()) for one in found)
    show.console().print()
    show.say(
        f"{amount.many(questions, 'question')} on {amount.many(len(found), 'topic')}; {gaps} of them want more.",
        indent=0,
    )
