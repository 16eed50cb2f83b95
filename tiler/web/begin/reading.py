"""What is done to files from elsewhere, each in a process of its own (`tiler.web.worker`)."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.pattern.errors import BlocksheetError

if TYPE_CHECKING:
    from tiler.job.capturing import CaptureWishes
    from tiler.job.interview import Interview, Said

#: Bytes that reading photos may take: a dozen as large as are taken in at all would take more.
_MEMORY = 8 * 2**30

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Photographed:
    """What photos gave: sentences to read, and names of pictures in the folder.

    Args:
        accuracy: How far lines may be off.
        causes: What that is made of; may be empty.
        findings: What to look at: severity, place and words of each.
        pictures: The photos with what was found.
    """

    accuracy: str
    causes: str
    findings: tuple[tuple[str, str, str], ...]
    pictures: tuple[str, ...]


def interviewed(progress: Progress, sources: Sequence[Path], captured: Path | None) -> Interview:
    """What to ask about files (`tiler.job.interview`)."""
    from tiler.job.interview import interview

    del progress
    return interview(sources, captured)


def written(
    progress: Progress, sources: Sequence[Path], captured: Path | None, folder: Path, said: Said
) -> str:
    """Write a pattern folder from them. Gives its name."""
    from tiler.job.interview import begun

    del progress
    begun(sources, folder, said, captured)
    return folder.name


def photographed(
    progress: Progress, files: Sequence[Path], folder: Path, wishes: CaptureWishes
) -> Photographed:
    """Make a pattern folder of photos; pictures of what is wrong come to lie beside it."""
    # The matrices are small: threads would only wait for one another.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from tiler.job.capturing import capture_folder
    from tiler.web.worker import bound

    bound(_MEMORY)
    try:
        done = capture_folder(files, folder, wishes, progress)
    except BlocksheetError as error:
        # The pictures are shown on the page; where they lie for a while helps nobody.
        error.remedy = error.remedy.replace(f"{folder.parent}{os.sep}", "")
        raise
    return Photographed(
        _sentence(done.accuracy),
        _sentence(done.causes),
        tuple((found.severity.value, found.where, found.text) for found in done.findings),
        tuple(picture.name for picture in done.pictures),
    )


def cards(progress: Progress, paper: str, target: Path) -> None:
    """Write the target cards."""
    from tiler.job.targets import write_targets

    del progress
    write_targets(paper, target)


def drafted(progress: Progress, folder: Path) -> None:
    """See that a pattern folder holds together before it goes on the shelf."""
    from tiler.job.reading import read

    del progress
    read(folder)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""
