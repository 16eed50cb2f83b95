"""Pictures beside a folder that could not be made: of what is wrong, or of what is asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path

from tiler.output.safely import replacing

#: What they are called after the folder's name.
PROBLEM, FACES = "problem", "faces"
#: Room at the beginning of a JPEG file in which its comment stands.
_HEAD = 400


def put_beside(folder: Path, what: str, pictures: Sequence[bytes]) -> list[Path]:
    """Write pictures beside a folder; ours of an earlier try go, and no file of others.

    Args:
        folder: Which is not made.
        what: `PROBLEM` or `FACES`.
        pictures: JPEG files of ours.

    Raises:
        FileError: They cannot be written.
    """
    take_away(folder)
    files: list[Path] = []
    number = 0
    for picture in pictures:
        while True:
            number += 1
            target = folder.parent / f"{_name(folder)}-{what}{f'-{number}' * (number > 1)}.jpg"
            if not target.exists() and not target.is_symlink():
                break
        with replacing(target) as draft:
            draft.write_bytes(picture)
        files.append(target)
    return files


def take_away(folder: Path) -> None:
    """Remove what `put_beside` has left at an earlier try: it speaks of other photos."""
    for file in list(_left(folder)):
        with suppress(OSError):
            file.unlink()


def _left(folder: Path) -> Iterator[Path]:
    from tiler.output.capture.canvas import MARK

    ours = re.compile(rf"{re.escape(_name(folder))}-({PROBLEM}|{FACES})(-\d+)?\.jpg")
    with suppress(OSError):
        for file in folder.parent.iterdir():
            if not ours.fullmatch(file.name) or file.is_symlink() or not file.is_file():
                continue
            with file.open("rb") as opened:
                if MARK in opened.read(_HEAD):
                    yield file


def _name(folder: Path) -> str:
    return folder.absolute().name
