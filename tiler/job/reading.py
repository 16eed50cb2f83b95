"""From a place on the disk to a drafted pattern."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern


def read(source: Path) -> Pattern:
    """Read a pattern folder or file, a drawing, a DXF file, or ``demo:NAME``, draft and check it.

    Half pieces stay half, with the letters of the tracing.

    Raises:
        BlocksheetError: It cannot be read or does not hold together.
    """
    from tiler.drafting.draft import drafted
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import read_pattern

    return sound(drafted(read_pattern(locate(source))))


def locate(source: Path) -> Path:
    """Where a pattern lies: the path itself, or that of a demo for ``demo:NAME``.

    Raises:
        FileError: There is no such demo.
    """
    from tiler.sheets.words import shipped

    name = str(source)
    if name.startswith("demo:"):
        return _demo(shipped("demo_pieces"), name.removeprefix("demo:"))
    return source


def _demo(folder: Path, name: str) -> Path:
    from tiler.pattern.errors import FileError

    names = sorted(path.parent.name for path in folder.glob("*/pattern.toml"))
    if name not in names:
        raise FileError(
            f"there is no demo pattern called {name!r}",
            remedy=f"Use one of {', '.join(f'demo:{known}' for known in names)}.",
        )
    return folder / name


def refuse_own(pattern: Pattern, source: Path, target: Path) -> None:
    """See that a file to be written is none of those that the pattern was read from.

    Raises:
        FileError: It is.
    """
    from tiler.pattern.errors import FileError

    source = locate(source)
    folder = source if source.is_dir() else source.parent
    if target.resolve() in {(folder / file.name).resolve() for file in pattern.sources}:
        raise FileError(
            "this file belongs to the pattern and is not written over",
            where=str(target),
            remedy="Choose another name.",
        )
