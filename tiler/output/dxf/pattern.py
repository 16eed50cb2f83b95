"""A pattern -> a DXF file after ASTM D6673."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from tiler.intake.dxf.layers import APPLICATION, Layer
from tiler.output.dxf.entities import field, insert, line
from tiler.output.dxf.piece import HEIGHT, block_tags
from tiler.output.dxf.tags import Tag, file_of
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Outline, Pattern, Piece

#: Free room (millimetres) between pieces on the sheet.
_GAP = 30.0
#: The line of stated length (millimetres) that shows whether the drawing has been scaled.
SCALE_CHECK = 100.0
#: Release 12 allows names of 31 letters, digits, $, _ and -.
_NAME_LIMIT = 31


def dxf_bytes(pattern: Pattern) -> bytes:
    """The pattern as ASCII DXF of release 12, which readers of release 13 read, in millimetres.

    One block a piece (one for each style that has an outline of its own), inserted once, side by
    side. The fields "Style Name", "Author" and "Units" on layer 1 are those of ASTM D6673 [from
    memory]. Release 12 has no unit in its header, so the text "Units: METRIC" and a line of 100 mm
    on layer 15 say it. Equal patterns give equal bytes.
    """
    styles = dict.fromkeys([name for name, _ in pattern.styles])
    styles.update(dict.fromkeys(style for piece in pattern.pieces for style in piece.styles))
    blocks: list[Tag] = []
    inserts: list[Tag] = []
    names: set[str] = set()
    left = 0.0
    for piece, outline in _blocks(pattern):
        name = _block_name(piece, outline, names)
        blocks += [(0, "BLOCK"), (8, "1"), (2, name), (70, 0), (10, 0.0), (20, 0.0), (30, 0.0)]
        blocks += [(3, name), *block_tags(piece, outline, list(styles)), (0, "ENDBLK"), (8, "1")]
        bounds = _bounds(piece, outline)
        inserts += insert(name, Point(left - bounds.left, -bounds.bottom))
        left += bounds.width + _GAP
    return file_of(
        [layer.value for layer in Layer],
        APPLICATION,
        blocks,
        [*_sheet_words(pattern, list(styles)), *inserts],
    )


def _blocks(pattern: Pattern) -> Iterator[tuple[Piece, Outline]]:
    for piece in pattern.pieces:
        for outline in piece.outlines:
            yield piece, outline


def _bounds(piece: Piece, outline: Outline) -> Bounds:
    return outline.path.bounds.joined(piece.bounds)


def _block_name(piece: Piece, outline: Outline, taken: set[str]) -> str:
    """A name that release 12 allows, unlike all others."""
    words = f"{piece.name} {outline.style}" if outline.style else piece.name
    plain = unicodedata.normalize("NFKD", words.upper()).encode("ascii", "ignore").decode()
    plain = re.sub(r"[^A-Z0-9]+", "_", plain).strip("_") or "PIECE"
    name, number = plain[:_NAME_LIMIT], 1
    while name in taken:
        number += 1
        ending = f"_{number}"
        name = f"{plain[: _NAME_LIMIT - len(ending)]}{ending}"
    taken.add(name)
    return name


def _sheet_words(pattern: Pattern, styles: list[str]) -> list[Tag]:
    """The texts and the line beside the pieces, below them."""
    system = [("Style Name", pattern.title), ("Author", pattern.maker), ("Units", "METRIC")]
    own = [("Version", pattern.version), ("About", pattern.about)]
    own.append(("Traced From", pattern.traced_from))
    for number, (cloth, about) in enumerate(pattern.cloths, 1):
        own += [(f"Cloth {number}", cloth), (f"Cloth {number} About", about)]
    told = dict(pattern.styles)
    for number, style in enumerate(styles, 1):
        own += [(f"Variant {number}", style), (f"Variant {number} About", told.get(style, ""))]
    own.append(("Scale Check", f"{SCALE_CHECK:g} mm, the length of the line below"))
    tags: list[Tag] = []
    at = Point(0, -_GAP)
    for layer, fields in ((Layer.BOUNDARY, system), (Layer.ANNOTATION, own)):
        for key, value in fields:
            if value:
                tags += field(layer, at, HEIGHT, key, value)
                at = Point(at.x, at.y - 2 * HEIGHT)
    return [*tags, *line(Layer.ANNOTATION, at, Point(at.x + SCALE_CHECK, at.y))]
