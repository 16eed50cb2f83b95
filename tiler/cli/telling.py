"""Printing that outlives a closed pipe and says so when a disk is full."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.pattern.errors import BlocksheetError, FileError

if TYPE_CHECKING:
    from tiler.pattern.model import Finding


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


@contextmanager
def data_for_scripts(wanted: bool) -> Iterator[None]:
    """See that a script that has asked for JSON gets some, also when the pattern cannot be read.

    An error is printed as ``{"error": {"where": …, "problem": …, "remedy": …}}`` and raised again.

    Args:
        wanted: Whether JSON is asked for.
    """
    try:
        yield
    except BlocksheetError as error:
        if wanted:
            import json

            facts = {"where": error.where, "problem": error.problem, "remedy": error.remedy}
            tell(json.dumps({"error": facts}, indent=2, ensure_ascii=False))
        raise


def tell_findings(findings: Iterable[Finding]) -> None:
    """Print what was noticed on the way, apart from what was asked for."""
    for finding in findings:
        tell(f"{finding.severity.value}: {finding}", err=True)


def quoted(path: Path | str) -> str:
    """A path or name as a shell takes it, for the command to give next."""
    import shlex

    return shlex.quote(str(path))
