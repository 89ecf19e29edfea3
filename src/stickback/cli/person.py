"""For the school: who may come in by its page, and who did what."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.acting import Role
    from stickback.cli.options import Options
    from stickback.services.person import Invited

FOR, RANK = "school", 15

_role = click.option("--role", type=click.Choice(["student", "instructor", "school"]), help="What the person is here.")
_instructs = click.option("--instructs", multiple=True, metavar="NAME", help="A student given to the instructor.")
site = click.option(
    "--site",
    envvar="STICKBACK_SITE",
    default="http://127.0.0.1:8765",
    show_default=True,
    metavar="URL",
    help="Where the school's page is found.",
)


@click.group()
def person() -> None:
    """Say who may come in by a school's page."""


@person.command()
@click.argument("name")
@_role
@_instructs
@site
@click.pass_obj
def add(options: "Options", name: str, role: "Role | None", instructs: tuple[str, ...], site: str) -> None:
    """Add a person, and print the invitation that lets them in once."""
    from stickback.services import person as service

    if role is None:
        raise click.UsageError("Say what the person is: --role student, instructor or school.")
    _tell(service.add(options.database(), options.load(), name, role, instructs, options.day), site)


@person.command()
@click.argument("name")
@site
@click.pass_obj
def invite(options: "Options", name: str, site: str) -> None:
    """Print a new invitation, as for a forgotten password; the one before serves no more."""
    from stickback.services import person as service

    _tell(service.invite(options.database(), name), site)


@person.command()
@click.argument("name")
@click.pass_obj
def revoke(options: "Options", name: str) -> None:
    """Take back an invitation that was not used yet."""
    from stickback.services import person as service

    known = service.revoke(options.database(), name)
    click.echo(f"The invitation of {known.person.name} serves no more.")


@person.command("sign-out")
@click.argument("name")
@click.pass_obj
def sign_out(options: "Options", name: str) -> None:
    """Sign a person out wherever they are signed in; they may sign in again."""
    from stickback.amount import many
    from stickback.services import person as service

    click.echo(f"{name} is signed out on {many(service.sign_out(options.database(), name), 'device')}.")


def _tell(invited: "Invited", site: str) -> None:
    from stickback.web.server import square
    from stickback.words import person as words

    for line in words.invitation(invited, site):
        click.echo(line)
    click.echo(square(words.address(invited, site)))


@person.command("set")
@click.argument("name")
@_role
@_instructs
@click.option("--without", multiple=True, metavar="NAME", help="A student taken away from the instructor.")
@click.pass_obj
def set_(
    options: "Options", name: str, role: "Role | None", instructs: tuple[str, ...], without: tuple[str, ...]
) -> None:
    """Change what a person is, and which students an instructor sees."""
    if role is None and not instructs and not without:
        raise click.UsageError("Say what changes: --role, --instructs or --without.")
    from stickback.cli.terminal import show
    from stickback.services import person as service
    from stickback.words import person as words

    show.columns([words.HEAD, words.row(service.set_(options.database(), name, role, instructs, without))], 0)


@person.command("list")
@click.pass_obj
def list_(options: "Options") -> None:
    """List everyone who may come in."""
    from stickback.cli.terminal import show
    from stickback.services import person as service
    from stickback.words import person as words

    found = service.listed(options.database())
    if not found:
        click.echo(words.NOBODY)
        return
    show.columns([words.HEAD, *map(words.row, found)], 0)


@person.command()
@click.argument("name")
@click.option("--erase", is_flag=True, help="Delete the person, and every answer of theirs, for good.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.pass_obj
def remove(options: "Options", name: str, erase: bool, yes: bool) -> None:
    """Shut a person out at once, wherever they are signed in; what they stored stays unless --erase is given."""
    from stickback.services import person as service
    from stickback.words import log as words

    if erase and not yes:
        click.confirm(f"Delete {name} and every answer of theirs, for good?", abort=True)
    number = service.remove(options.database(), name, erase=erase)
    click.echo(words.removed(name, number, erased=True) if erase else f"{name} comes in no more.")


@person.command()
@click.pass_obj
def log(options: "Options") -> None:
    """Say who did what, the newest first."""
    from stickback.cli.terminal import show
    from stickback.services import person as service
    from stickback.words import person as words

    show.columns([words.LOG_HEAD, *words.acts(service.log(options.database()))], 0)
