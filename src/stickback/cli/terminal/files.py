"""Files that a command was asked to write."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pathlib import Path


def write(files: "Sequence[tuple[Path, bytes]]") -> None:
    """Writes all of them or none, and says so on standard error.

    Errors: Refused, naming the first, when one cannot be written.
    """
    from stickback.services import files as service

    service.write(files)
    for path, _ in files:
        click.echo(f"Written: {path}", err=True)
