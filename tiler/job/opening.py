"""The pattern out of a published file, to go on with on other paper."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tiler.job.handing import stoppable


@dataclass(frozen=True)
class Opened:
    """A pattern that was taken out of a file.

    Args:
        title: What it is called.
        digest: The digest that the file's record and its pattern agree on.
        printed: Whether a page prints it as well.
        pattern: What to give the other commands: the folder, or the drawing in it.
        files: What was written.
        others: How many strangers' files the file held, which were left alone.
    """

    title: str
    digest: str
    printed: bool
    pattern: Path
    files: tuple[Path, ...]
    others: int


def open_published(file: Path, folder: Path) -> Opened:
    """Take the pattern out of a published PDF or a bundle, byte for byte.

    Args:
        file: The PDF, or the bundle (a ZIP file).
        folder: Where to; not there yet, or empty.

    Raises:
        FileError: The file is not whole, not safe, no publication, or carries no pattern; or the
            folder is not empty or cannot be written. Nothing is written then.
        StoppedError: Ctrl-C.
    """
    from tiler.intake.patternfile import PATTERN_FILE
    from tiler.intake.sheetfile.apart import read_apart
    from tiler.output.newfolder import refuse_filled, write_new_folder

    with stoppable(folder):
        refuse_filled(folder)
        held = read_apart(file)
        files = {source.name: source.content for source in held.sources}
        write_new_folder(folder, files)
    alone = next(iter(files)) if PATTERN_FILE not in files else ""
    return Opened(
        title=held.told.title,
        digest=held.told.digest,
        printed=held.printed,
        pattern=folder / alone,
        files=tuple(folder / name for name in files),
        others=held.others,
    )
