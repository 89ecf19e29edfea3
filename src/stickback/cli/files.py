"""Files that a command was asked to write."""

from collections.abc import Sequence
from pathlib import Path

import click


def write(files: Sequence[tuple[Path, bytes]]) -> None:
    """Writes all of them or none, and says so on standard error.

    Errors: Refused, naming the first, when one cannot be written.
    """
    from stickback.export import table
    from stickback.refused import Refused

    try:
        table.write_whole(files)
    except OSError as error:
        raise Refused(f"{files[0][0]} cannot be written: {error.strerror or error}.") from None
    for path, _ in files:
        click.echo(f"Written: {path}", err=True)
