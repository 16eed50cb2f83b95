"""How much a drawing may hold; past these a file is damaged or means harm.

A drawing of a garment piece has tens to thousands of lines, so each limit leaves room for a
hundred times more. The values are our own choice.
"""

from __future__ import annotations

from tiler.pattern.errors import DrawingError

FILE_BYTES = 32 * 1024 * 1024
ELEMENTS = 200_000
NESTING = 256
USE_DEPTH = 32
SEGMENTS = 500_000
STYLE_CHARACTERS = 2 * 1024 * 1024
STYLE_RULES = 5_000
STYLE_TESTS = 5_000_000

#: Farthest place from the page's lower left corner, and largest page, in millimetres (100 m).
REACH = 100_000.0
#: Smallest page in millimetres.
SMALLEST_PAGE = 0.01
#: Largest number that the drawing may use in its own units.
LARGEST_NUMBER = 1e9

_SPLIT = "Split it into one file for each piece"


def too_large(size: int) -> DrawingError:
    """The file has too many bytes."""
    return DrawingError(
        f"the file has {size / 1048576:.0f} MiB, and a drawing may have {FILE_BYTES // 1048576}",
        remedy="Take embedded pictures out of it, or save it again as plain SVG.",
    )


def too_many_elements(where: str) -> DrawingError:
    """The file has too many elements."""
    return DrawingError(
        f"the drawing has more than {ELEMENTS:,} elements",
        where=where,
        remedy=f"{_SPLIT}, or join the many small lines into paths.",
    )


def too_deep(where: str) -> DrawingError:
    """Groups lie inside groups too many times over."""
    return DrawingError(
        f"groups are nested more than {NESTING} deep",
        where=where,
        remedy="Ungroup the drawing in the editor and save it again.",
    )


def too_many_segments(where: str) -> DrawingError:
    """The lines have too many segments."""
    return DrawingError(
        f"the lines have more than {SEGMENTS:,} segments",
        where=where,
        remedy=f"{_SPLIT}, or simplify the paths in the editor.",
    )


def too_many_copies(where: str) -> DrawingError:
    """The use elements multiply into too many copies."""
    return DrawingError(
        f"its <use> elements multiply into more than {ELEMENTS:,} elements",
        where=where,
        remedy="Draw each line once; unlink the clones in the editor and delete the surplus.",
    )


def copies_too_deep(where: str) -> DrawingError:
    """Use elements point at use elements too many times over."""
    return DrawingError(
        f"<use> elements point at one another more than {USE_DEPTH} deep",
        where=where,
        remedy="Unlink the clones in the editor and save it again.",
    )
