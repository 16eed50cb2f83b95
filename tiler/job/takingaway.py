"""A pattern folder as one file, to keep elsewhere or to go on with."""

from __future__ import annotations

from pathlib import Path

from tiler.job.naming import file_stem
from tiler.job.reading import locate, refuse_own


def take_away(source: Path, target: Path) -> None:
    """Write the files that a pattern is made of into a ZIP file, as they are, in one folder.

    Earlier versions and what was published stay behind.

    Args:
        source: As for `tiler.job.read`.
        target: The ZIP file.

    Raises:
        BlocksheetError: The pattern cannot be read, or the file cannot be written.
    """
    from tiler.intake.folder import read_pattern
    from tiler.output.bundle.archive import zip_bytes
    from tiler.output.safely import replacing

    traced = read_pattern(locate(source))
    refuse_own(traced, source, target)
    folder = file_stem((traced.title,))
    content = zip_bytes({f"{folder}/{each.name}": each.content for each in traced.sources})
    with replacing(target) as draft:
        draft.write_bytes(content)
