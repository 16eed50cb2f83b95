"""The block of words on a piece: its name and how to cut it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.drafting.pairs import partner_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Cut, Lay, Pattern, Piece
from tiler.pattern.wishes import Paper
from tiler.sheets.allowances import allowance_words
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import (
    BODY,
    HEAD,
    READ,
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
#: Widths of the last blocks that are tried where there is little room, best first, millimetres.
NARROW = (110.0, 80.0, 60.0, 45.0, 34.0, 26.0)
#: Between the things said on one line; "cut 2 · main" has a dot of its own.
APART = " / "
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
    """Lines set left-aligned with air round them; width and height in millimetres."""

    lines: tuple[LabelLine, ...]
    width: float
    height: float

    def placed(self, box: Bounds, turn: float = 0.0) -> list[Item]:
        """The words in a box of the block's size.

        Args:
            box: Upright in its own frame.
            turn: Of the frame about the origin, degrees anticlockwise.
        """
        items: list[Item] = []
        at = Affine.turn(turn)
        down = AIR
        for line in self.lines:
            down += height_of(line.size_pt)
            start = at(Point(box.left + AIR, box.top - down))
            items.append(Words(line.text, start, line.size_pt, turn=turn, bold=line.bold))
            down += leading_of(line.size_pt) - height_of(line.size_pt)
        return items


def fitted(lines: list[LabelLine]) -> Block:
    """The block with the size that its words need."""
    across = max(width_of(line.text, line.size_pt, bold=line.bold) for line in lines) + 2 * AIR
    last = lines[-1].size_pt
    down = 2 * AIR + height_of(last) + depth_of(last)
    down += sum(leading_of(line.size_pt) for line in lines[:-1])
    return Block(tuple(lines), across, down)


def label_lines(
    piece: Piece, pattern: Pattern, shrink: float = 1.0, widest: float = WIDEST
) -> list[LabelLine]:
    """Name, number and pattern, cutting instruction, allowance, styles and the maker's notes.

    Args:
        piece: Whose label it is.
        pattern: What it belongs to.
        shrink: Factor on the type sizes; nothing gets smaller than SMALL, and the name and how to
            cut no smaller than READ.
        widest: Where lines are broken, before `shrink`, millimetres.
    """
    head, small = max(READ, HEAD * shrink), max(SMALL, (SMALL + 0.5) * shrink)
    width = widest * shrink
    lines = [LabelLine(text, head, bold=True) for text in evenly(piece.name, head, width)]

    def add(text: str, size: float, bold: bool = False) -> None:
        lines.extend(LabelLine(part, size, bold) for part in evenly(text, size, width, bold=bold))

    whose = _whose(piece, pattern)
    if whose:
        add(whose, small)
    for text in how_to_cut(piece):
        add(text, READ, bold=True)
    for text in state_words(piece, pattern):
        add(text, small)
    add(allowance_words(piece), small)
    for style in piece.styles:
        about = dict(pattern.styles).get(style, "")
        add(say("style", style=style, about=about).rstrip(": "), small)
    for note in piece.notes:
        add(note, small)
    return lines


def short_label_lines(piece: Piece, pattern: Pattern) -> Iterator[list[LabelLine]]:
    """Name, number, cutting instruction and allowance alone, for pieces with little room.

    First in a block, then in ever fewer and longer lines for narrow strips.
    """
    cuts = [*how_to_cut(piece), *state_words(piece, pattern, short=True)]
    rest = [*cuts, allowance_words(piece)]
    if piece.notes:
        rest.append(say("notes_elsewhere"))
    number = number_words(piece, pattern)
    for widest in (WIDEST, *NARROW[2:5]):
        clear = [
            LabelLine(text, READ, bold)
            for words, bold in ((piece.name, True), *((cut, False) for cut in cuts))
            for text in evenly(words, READ, widest, bold=bold)
        ]
        others = [*([number] if number else []), *rest[len(cuts) :]]
        small = [text for words in others for text in evenly(words, SMALL, widest)]
        yield [*clear, *(LabelLine(text, SMALL) for text in small)]
    for size in (BODY, SMALL):
        name = LabelLine(piece.name, size, bold=True)
        if number:
            yield [name, *(LabelLine(text, SMALL) for text in (number, *rest))]
        yield [name, *(LabelLine(text, SMALL) for text in rest)]
    half = len(cuts)
    name = LabelLine(piece.name, SMALL, bold=True)
    told = APART.join(rest)
    yield [
        name,
        LabelLine(APART.join(rest[:half]), SMALL),
        LabelLine(APART.join(rest[half:]), SMALL),
    ]
    yield [name, LabelLine(told, SMALL)]
    yield [LabelLine(f"{piece.name}{APART}{told}", SMALL, bold=True)]
    for widest in NARROW:
        yield [name, *(LabelLine(text, SMALL) for text in evenly(told, SMALL, widest))]


def repeated_lines(piece: Piece, page: str, size_pt: float, widest: float) -> list[LabelLine]:
    """What stands on the further pages of a large piece: name, how to cut, where the rest is.

    Args:
        piece: Whose words they are.
        page: The name of the page with the whole label; empty where there is none.
        size_pt: Of the name and of how to cut.
        widest: Where lines are broken, millimetres.
    """
    said = [(piece.name, size_pt, True)]
    said += [(cut, size_pt, False) for cut in how_to_cut(piece)]
    if page:
        said.append((say("label_elsewhere", page=page), SMALL, False))
    return [
        LabelLine(text, size, bold)
        for words, size, bold in said
        for text in evenly(words, size, widest, bold=bold)
    ]


def how_to_cut(piece: Piece, *, mirrored: bool = False) -> list[str]:
    """How many to cut and how they lie, for each cloth; and the side of a lone asymmetric piece.

    Args:
        piece: The piece.
        mirrored: Whether it is shown from its other side.
    """
    words = [cut_words(cut) for cut in piece.cuts or (None,)]
    side = "side_mirrored" if mirrored else "side"
    return [*words, say(side, side=piece.side.value)] if piece.side else words


def state_words(piece: Piece, pattern: Pattern, *, short: bool = False) -> list[str]:
    """That a half piece is printed opened, or joined to another one."""
    words = [say("opened")] if piece.wishes.paper is Paper.WHOLE else []
    partner = partner_of(piece, pattern)
    return (
        [*words, say("joined_short" if short else "joined", partner=partner)] if partner else words
    )


def number_words(piece: Piece, pattern: Pattern) -> str:
    """Such as ``piece 3 of 8``; empty for the only piece, or one of another pattern."""
    names = [other.name for other in pattern.pieces]
    if len(names) < 2 or piece.name not in names:
        return ""
    return say("piece_number", number=names.index(piece.name) + 1, total=len(names))


def part_words(piece: Piece) -> str:
    """``front`` or ``back``; empty when nobody has said, or when the name says it."""
    if piece.part is None or piece.part.value in piece.name.lower().split():
        return ""
    return piece.part.value


def _whose(piece: Piece, pattern: Pattern) -> str:
    """The piece's pattern with its version, its number in it, and front or back."""
    version = say("start_version", version=pattern.version) if pattern.version else ""
    title = " · ".join(part for part in (pattern.title, version) if part)
    parts = ["" if title == piece.name else title, number_words(piece, pattern), part_words(piece)]
    return " · ".join(part for part in parts if part)


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
