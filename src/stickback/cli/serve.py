"""For everyone: the same on a web page."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stickback.cli.options import Options

FOR, RANK = "everyone", 30


@click.command()
@click.option(
    "--port", type=click.IntRange(0, 65535), default=8765, show_default=True, metavar="N", help="0: any free."
)
@click.option("--share", is_flag=True, help="Open it to the local network too, behind a code that is printed.")
@click.pass_obj
def serve(options: "Options", port: int, share: bool) -> None:
    """Show all of it on a web page, on this machine alone.

    Ctrl-C ends it. With --share a phone on the same network can open it too, once, by the address or the square code
    that is printed.
    """
    from stickback.web import server

    server.serve(options.folder, options.database(), options.today, port=port, share=share, say=click.echo)
