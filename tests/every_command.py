"""Every command there is, found by click, each with something to ask of it: for tests of what all of them promise."""

from collections.abc import Iterator
from pathlib import Path

import click

from stickback.cli.main import cli

HERE = "{}"  # stands for a folder of the test

# What stands behind a command, where it is not its name alone; once for each thing that it can be asked for.
MORE: dict[str, list[tuple[str, ...]]] = {
    "aircraft": [(), ("cawdale",)],
    "backup": [(f"{HERE}/copy.db",)],
    "brief": [("1",), ("1", "--card")],
    "check": [(), ("--format", "json")],
    "debrief": [(), ("--json",)],
    "exam": [("--by", "Ina Vesper", "--questions", "2")],
    "find": [("look",)],
    "flown": [("1", "--error", "late-foot")],
    "handout": [("feet",)],
    "handover": [("me",)],
    "lesson": [(), ("eyes",)],
    "log import": [(f"{HERE}/coming.jsonl",)],
    "new": [(f"{HERE}/course",)],
    "note": [(), ("feet", "Heels on the floor")],
    "outlook": [(), ("--why",), ("--json",)],
    "person add": [("Olive", "--role", "school")],
    "person invite": [("Ina",)],
    "person revoke": [("Ina",)],
    "person sign-out": [("Ina",)],
    "person set": [("Ina", "--role", "instructor")],
    "person remove": [("Ina",)],
    "progress": [(), ("--json",)],
    "questions": [(), ("--all",)],
    "readiness": [(), ("--format", "json"), ("--format", "csv", "--topics"), ("--weekly", "--format", "csv")],
    "restore": [(f"{HERE}/kept.db",)],
    "review": [("--questions", "1", "--seed", "1")],
    "school add": [("north-field",)],
    "serve": [("--port", "0")],
    "student add": [("Cleo",)],
    "student remove": [("Bea",)],
    "student set": [("me", "--minutes", "20")],
    "try": [("approach", "--answer", "a sure")],
    "tune": [(), ("--all",)],
}


def named(group: click.Group = cli, before: tuple[str, ...] = ()) -> Iterator[str]:
    """The names of all commands, those of groups behind the group's."""
    context = click.Context(group)
    if group.invoke_without_command:
        yield " ".join(before)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from named(command, (*before, name))
        else:
            yield " ".join((*before, name))


ASKED = {name: MORE.get(name, [()]) for name in named()}
# In the order in which one school can be asked all of it: who is removed is removed last.
RUNS = sorted(
    ((*name.split(), *more) for name, asked in ASKED.items() for more in asked), key=lambda run: "remove" in run
)


def asked(run: tuple[str, ...], folder: Path) -> list[str]:
    """What is typed for a run, with its files in a folder."""
    return [word.replace(HERE, str(folder)) for word in run]
