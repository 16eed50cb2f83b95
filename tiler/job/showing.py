"""Pictures of a pattern, the formats that others read, and the proof of a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.reading import locate, read, refuse_own

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern
    from tiler.proof import Verdict


def look(pattern: Pattern, source: Path, picture: Path) -> None:
    """Write a picture of all pieces with lettered edges (SVG, PNG or PDF by its ending).

    Args:
        pattern: What to draw.
        source: Where it was read from; its own files are never written over.
        picture: The file to write.

    Raises:
        FileError: No such format, one of the pattern's own files, or it cannot be written.
    """
    from tiler.output.picture import write_picture
    from tiler.sheets.picture import draw_picture

    refuse_own(pattern, source, picture)
    write_picture(draw_picture(pattern), pattern.title, picture)


def export(source: Path, target: Path) -> tuple[Path, ...]:
    """Write a pattern as a DXF file (ASTM D6673), or as a pattern folder to go on with by hand.

    DXF carries the drafted half pieces: cut lines, stitch lines, marks. A folder carries the
    tracing and what is asked for, as it was read.

    Args:
        source: As for `read`.
        target: A file ending in .dxf, or a folder.

    Returns:
        The files written.

    Raises:
        BlocksheetError: The pattern cannot be read or written so, or the target is one of its own
            files or belongs to another pattern.
    """
    from tiler.output.safely import replacing
    from tiler.pattern.errors import FileError

    if target.suffix.lower() != ".dxf":
        from tiler.intake.folder import read_pattern
        from tiler.output.folder import write_folder

        if target.suffix and not target.is_dir():
            raise FileError(
                f"there is no format {target.suffix!r}",
                where=str(target),
                remedy="Give a file ending in .dxf, or a folder.",
            )
        traced = read_pattern(locate(source))
        for file in traced.sources:
            refuse_own(traced, source, target / file.name)
        return write_folder(traced, target)
    from tiler.output.dxf import dxf_bytes

    pattern = read(source)
    refuse_own(pattern, source, target)
    with replacing(target) as draft:
        draft.write_bytes(dxf_bytes(pattern))
    return (target,)


def prove_file(file: Path, against: Path | None = None) -> Verdict:
    """Measure a published PDF against a pattern, or against the one that it carries.

    Raises:
        BlocksheetError: The file or the pattern cannot be read.
    """
    from tiler.proof import prove

    return prove(file, read(against) if against else None, on_paper=False)
