"""The block of words on a piece: its name and how to cut it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Cut, Lay, Pattern, Piece, Role
from tiler.pattern.units import format_mm
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import (
    BODY,
    HEAD,
    SMALL,
    depth_of,
    evenly,
    height_of,
    leading_of,
    width_of,
)
from tiler.sheets.words import say

#: Widest a label may get, millimetres.
WIDEST = 95.0
#: Free paper round the words, millimetres.
AIR = 1.0


@dataclass(frozen=True)
class LabelLine:
    """One line of a label."""

    text: str
    size_pt: float
    bold: bool = False


@dataclass(frozen=True)
class Block:
    """Lines set left-aligned, upright or turned by a quarter, with air round them."""

    lines: tuple[LabelLine, ...]
    turn: float
    width: float
    height: float

    def placed(self, box: Bounds) -> list[Item]:
        """The words in a box of the block's size."""
        items: list[Item] = []
        down = AIR
        for line in self.lines:
            down += height_of(line.size_pt)
            if self.turn:
                at = Point(box.left + down, box.bottom + AIR)
            else:
                at = Point(box.left + AIR, box.top - down)
            items.append(Words(line.text, at, line.size_pt, turn=self.turn, bold=line.bold))
            down += leading_of(line.size_pt) - height_of(line.size_pt)
        return items


def fitted(lines: list[LabelLine], turn: float) -> Block:
    """The block with the size that its words need."""
    across = max(width_of(line.text, line.size_pt, bold=line.bold) for line in lines) + 2 * AIR
    last = lines[-1].size_pt
    down = 2 * AIR + height_of(last) + depth_of(last)
    down += sum(leading_of(line.size_pt) for line in lines[:-1])
    return Block(tuple(lines), turn, *((down, across) if turn else (across, down)))


def label_lines(
    piece: Piece, pattern: Pattern, shrink: float = 1.0, widest: float = WIDEST
) -> list[LabelLine]:
    """Name, pattern, cutting instruction, allowance and the maker's notes.

    Args:
        piece: Whose label it is.
        pattern: What it belongs to.
        shrink: Factor on the type sizes; nothing gets smaller than SMALL.
        widest: Where lines are broken, before `shrink`, millimetres.
    """
    head, body, small = (max(SMALL, size * shrink) for size in (HEAD, BODY, SMALL + 0.5))
    width = widest * shrink
    lines = [LabelLine(text, head, bold=True) for text in evenly(piece.name, head, width)]
    version = say("start_version", version=pattern.version) if pattern.version else ""
    title = " · ".join(part for part in (pattern.title, version) if part)
    if title != piece.name:
        lines += [LabelLine(text, small) for text in evenly(title, small, width)]
    for cut in piece.cuts or (None,):
        lines += [
            LabelLine(text, body, bold=True)
            for text in evenly(cut_words(cut), body, width, bold=True)
        ]
    lines += [LabelLine(text, small) for text in evenly(allowance_words(piece), small, width)]
    for style in piece.styles:
        about = dict(pattern.styles).get(style, "")
        words = say("style", style=style, about=about).rstrip(": ")
        lines += [LabelLine(text, small) for text in evenly(words, small, width)]
    for note in piece.notes:
        lines += [LabelLine(text, small) for text in evenly(note, small, width)]
    return lines


def short_label_lines(piece: Piece) -> Iterator[list[LabelLine]]:
    """Name, cutting instruction and allowance alone, for pieces with little room.

    First in a block, then in ever fewer and longer lines for narrow strips.
    """
    cuts = [cut_words(cut) for cut in piece.cuts or (None,)]
    rest = [*cuts, allowance_words(piece)]
    if piece.notes:
        rest.append(say("notes_elsewhere"))
    for size in (BODY, SMALL):
        name = LabelLine(piece.name, size, bold=True)
        yield [name, *(LabelLine(text, SMALL) for text in rest)]
    half = len(cuts)
    name = LabelLine(piece.name, SMALL, bold=True)
    yield [
        name,
        LabelLine(" · ".join(rest[:half]), SMALL),
        LabelLine(" · ".join(rest[half:]), SMALL),
    ]
    yield [name, LabelLine(" · ".join(rest), SMALL)]
    yield [LabelLine(" · ".join([piece.name, *rest]), SMALL, bold=True)]


def cut_words(cut: Cut | None) -> str:
    """Such as ``cut 2: 1 and 1 mirrored · main``."""
    if cut is None:
        return say("cut_unknown")
    if cut.lay is Lay.FOLD:
        words = say("cut_fold", count=cut.count)
    elif cut.lay is Lay.PAIR:
        words = say("cut_pair", count=cut.count, half=cut.count // 2)
    else:
        words = say("cut_copies", count=cut.count)
    return f"{words} · {cut.cloth}" if cut.cloth else words


def allowance_words(piece: Piece) -> str:
    """What the outline holds: the worst silent error of a shared pattern is not to say so."""
    included = piece.outlines[0].role is Role.CUT
    if piece.allowance is None:
        return say("allowance_in_unknown" if included else "allowance_none")
    key = "allowance_in" if included else "allowance_add"
    return say(key, allowance=format_mm(piece.allowance))
