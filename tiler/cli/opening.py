"""``blocksheet open``: the pattern out of a published file."""

from __future__ import annotations

from pathlib import Path

import click

from tiler.cli.telling import quoted, tell


@click.command("open")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def open_command(file: Path, folder: Path) -> None:
    """Take the pattern out of FILE, a published PDF or a bundle, and write it to DIR.

    Its files come back byte for byte; the digest in the file's record, the one on its pages and
    that of the files must agree. DIR must be empty or not there yet. A file that is damaged,
    holds unsafe names or anything out of the ordinary is refused, and nothing is written.

    With it a pattern goes on to other paper: open the A4 PDF, and publish the folder on letter.
    """
    from tiler.job.opening import open_published

    opened = open_published(file, folder)
    pages = ", as its pages print it" if opened.printed else ""
    tell(f"{opened.title}: every file is there as it was, pattern digest {opened.digest}{pages}.")
    for written in opened.files:
        tell(f"  {written}")
    if opened.others:
        files = "file is" if opened.others == 1 else "files are"
        tell(f"  {opened.others} other {files} in it and not part of the pattern; left there.")
    tell(f"Next: blocksheet publish {quoted(opened.pattern)} --on letter")
