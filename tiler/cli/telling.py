"""Printing that outlives a closed pipe and says so when a disk is full."""

from __future__ import annotations

import errno
import os
import sys

import click

from tiler.pattern.errors import FileError


def tell(text: str, *, err: bool = False) -> None:
    """Print a line; whoever has closed the pipe has had enough and is not told more.

    Raises:
        FileError: The output cannot be written for another reason.
    """
    try:
        click.echo(text, err=err)
        (sys.stderr if err else sys.stdout).flush()
    except AttributeError:
        # There is no such stream at all: nobody to tell.
        return
    except OSError as error:
        # Python flushes once more at the end and must not fail then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2 if err else 1)
        if error.errno != errno.EPIPE:
            raise FileError(
                f"what is printed cannot be written ({(error.strerror or str(error)).lower()})",
                where="the output",
                remedy="Make room or print to another place.",
            ) from error
