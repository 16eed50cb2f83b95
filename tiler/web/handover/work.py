"""What the long work does, in a process of its own."""

from __future__ import annotations

from pathlib import Path

from tiler.job import Progress, Surface, read
from tiler.job.bundling import Giving
from tiler.job.giving import Given, bundle_name
from tiler.job.giving import give as write_bundle
from tiler.job.notes import NoteWishes, WrittenNotes, facts_of, write_notes

#: Where files go that were made for a pattern.
OUT = "sheets"


def give(progress: Progress, folder: Path, surfaces: tuple[Surface, ...], giving: Giving) -> Given:
    """Make the bundle of the pattern in a folder.

    Raises:
        BlocksheetError: As `tiler.job.giving.give`.
    """
    pattern = read(folder)
    target = folder / OUT / bundle_name(pattern, giving.styles)
    return write_bundle(pattern, surfaces, target, giving, progress)


def notes(
    progress: Progress, folder: Path, sheets: tuple[Path, ...], wishes: NoteWishes
) -> WrittenNotes:
    """Write the notes, with what is said of published files once each is proven.

    Raises:
        BlocksheetError: As `facts_of` and `write_notes`.
    """
    del progress
    pattern = read(folder)
    return write_notes(pattern, folder, facts_of(pattern, sheets), folder / OUT, wishes)
