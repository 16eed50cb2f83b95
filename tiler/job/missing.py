"""What a pattern does not tell yet, and whoever gets it will ask."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tiler.job.cloth import cloths_of, without_cloth

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern

#: In the order of `missing`.
MISSING = (
    "maker",
    "licence",
    "language",
    "about",
    "wearer",
    "cut",
    "cloth",
    "width",
    "notions",
    "sewing",
    "finished",
)


def missing(pattern: Pattern) -> tuple[str, ...]:
    """What is missing for a good hand-over, in the words of `MISSING`.

    The maker's name and language; what others may do; what the garment is and for whom, which the
    cautions go by; from which cloth each piece is cut; what each cloth is, and how wide, without
    which a bundle has no lay plan; what else to buy; the order of sewing; how large it comes out.

    Args:
        pattern: As `read` gives it.
    """
    return tuple(_missing(pattern))


def _missing(pattern: Pattern) -> Iterator[str]:
    told = pattern.handover
    said = {
        "maker": pattern.maker,
        "licence": told.licence,
        "language": told.language,
        "about": pattern.about,
        "wearer": told.wearer,
        "cut": not without_cloth(pattern),
        "cloth": all(dict(pattern.cloths).get(name) for name in cloths_of(pattern)),
        "width": all(told.cloth(name).width is not None for name in cloths_of(pattern)),
        "notions": told.notions,
        "sewing": told.sewing,
        "finished": told.finished,
    }
    yield from (what for what in MISSING if not said[what])
