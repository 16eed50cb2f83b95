"""What the long work does, in a process of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tiler.job import Packing, Progress, read
from tiler.job.cloth import ClothLays, ClothWishes, lay_plans


def lay_one(
    progress: Progress, folder: Path, cloth: str, wishes: ClothWishes, packing: Packing
) -> ClothLays:
    """Lay one cloth of the pattern in a folder.

    Raises:
        BlocksheetError: As `lay_plans`.
    """
    (lays,) = lay_plans(read(folder), replace(wishes, cloths=(cloth,)), packing, progress)
    return lays
