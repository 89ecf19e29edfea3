"""For student and school: the memory model fitted to a student's own answers, where that predicts them better."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stickback.cli.options import Options
    from stickback.services.tune import Outcome
    from stickback.store.engine import Database
    from stickback.study.student import Student

FOR, RANK = "school", 30


@click.command()
@click.argument("name", required=False)
@click.option("--all", "everyone", is_flag=True, help="Everyone who studies here, several at once.")
@click.option("--undo", is_flag=True, help="Go back to what was in force before.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON.")
@click.pass_obj
def tune(options: "Options", name: str | None, everyone: bool, undo: bool, as_json: bool) -> None:
    """Fit the memory model to a student's own answers.

    It is adopted only when what is learnt from earlier answers predicts the later ones better than the defaults do.
    Below 500 answers the defaults stay; after that a fit is tried whenever their number has doubled. No answer is
    changed. NAME is a student; without it, the one named with --student.
    """
    from stickback.services import tune as service
    from stickback.words import student

    if everyone and name is not None:
        raise click.UsageError("Give a NAME or --all, not both.")
    database = options.database()
    students = _students(options, database, name, everyone=everyone)
    found = _back(options, database, students) if undo else service.tuned(database, students, options.today)
    if as_json:
        _write(list(found), everyone=everyone)
        return
    for place, outcome in enumerate(found, 1):
        click.echo((f"{place} of {len(students)}  " if everyone else "") + student.outcome(outcome))


def _students(options: "Options", database: "Database", name: str | None, *, everyone: bool) -> "list[Student]":
    from stickback.refused import Refused
    from stickback.store import people

    if not everyone:
        return [people.find(database, name or options.student)]
    if found := list(people.everyone(database).values()):
        return found
    raise Refused("No one studies here yet.")


def _back(options: "Options", database: "Database", students: "list[Student]") -> "Iterator[Outcome]":
    """Goes back for each; of several those who have nothing to go back from are left out, unless all have."""
    from stickback.refused import Refused
    from stickback.services import tune as service

    nothing = []
    for one in students:
        try:
            outcome = service.undone(database, one, options.today)
        except Refused as refused:
            nothing.append(refused)
            continue
        yield outcome
    if len(nothing) == len(students):
        raise nothing[0] if len(nothing) == 1 else Refused("Everyone has the defaults: nothing to go back from.")


def _write(found: "list[Outcome]", *, everyone: bool) -> None:
    import json
    from dataclasses import asdict

    rows = [asdict(outcome) for outcome in found]
    click.echo(json.dumps(rows if everyone else rows[0], ensure_ascii=False, indent=2))
