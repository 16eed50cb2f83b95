"""``blocksheet studio``: the whole work on a page in the browser, on this computer."""

from __future__ import annotations

from pathlib import Path

import click

from tiler.cli.telling import tell


@click.command("studio")
@click.argument(
    "folder", type=click.Path(path_type=Path, file_okay=False), required=False, default=Path()
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    help="Where on this computer to listen.  [default: any free port]",
)
@click.option("--no-browser", is_flag=True, help="Print the address only, and open no browser.")
def studio_command(folder: Path, port: int, no_browser: bool) -> None:
    """Open the studio on FOLDER, which holds your pattern folders (default: where you are).

    It is a page in your browser, from this computer only, and works without the internet. Stop it
    with Ctrl-C, or with the button on the page.
    """
    from tiler.web.serving import serve

    def opened(address: str) -> None:
        tell(f"The studio is open: {address}")
        tell("It stops with Ctrl-C.")

    serve(folder, port, opened, browser=not no_browser)
    tell("The studio is closed.")
