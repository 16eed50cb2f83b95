"""A piece of a new pattern file: what is known of it, its edges, and what one may say."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.output.folder.edgehints import EdgeHint, free_letters, hints_of, possible_folds
from tiler.output.folder.piecewords import cut_words, piece_table
from tiler.output.folder.remarks import Remarks, listed
from tiler.output.folder.toml import inline, length
from tiler.pattern.model import Cut, Lay, Lies, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.units import format_inch, format_mm
from tiler.pattern.wishes import EdgeName

if TYPE_CHECKING:
    from tiler.output.folder.commented import NewPattern

#: More edges are not listed: nobody counts so far along a drawing.
_LISTED = 60
#: More edges are not compared for the example of a seam.
_COMPARED = 80
_FOLDS = 6
#: A hem is at least this share of the piece wide; common practice, no source.
_WIDE_HEM = 0.6
#: The turned-up allowance of the example lies along edges that are no shorter (millimetres).
_BESIDE_HEM = 60.0


@dataclass(frozen=True, slots=True)
class NewPiece:
    """What is known of a piece when a pattern begins.

    Args:
        piece: As the drawing reads with what is known.
        drawing: File of its drawing.
        copied: Whether the drawing is the maker's own, which says by itself what is drawn in it;
            otherwise it is one that holds the lines only.
        layer: The layer that holds it; empty for the whole drawing.
        unsaid: Whether the drawing does not say what the outline is.
        fold: Letter of the edge that was said to lie on the fold; empty when none was.
    """

    piece: Piece
    drawing: str
    copied: bool
    layer: str = ""
    unsaid: bool = False
    fold: str = ""


def say_piece(new: NewPiece, whole: NewPattern, out: Remarks) -> None:
    """Add the piece's part of the file.

    Raises:
        PatternError: It says something that the pattern file has no words for.
    """
    piece = new.piece
    bounds = piece.bounds
    out.part(piece.name)
    out.blank()
    out.remark(
        "piece_size",
        width=format_mm(bounds.width),
        height=format_mm(bounds.height),
        width_inch=format_inch(bounds.width),
        height_inch=format_inch(bounds.height),
    )
    own = piece.allowance if piece.allowance != whole.allowance else None
    table = (
        _copied_table(new, whole)
        if new.copied
        else piece_table(piece, new.drawing, own, stitch_line=True)
    )
    lines = list(table.lines())
    # A table that was too long for a line stands below under a header of its own.
    end = lines.index("") if "" in lines else len(lines)
    out.plain(lines[:end])
    said = set(tomllib.loads("\n".join(lines))["piece"][0])
    hints = hints_of(piece)
    if new.unsaid and whole.traced is None and not whole.traced_for_all:
        out.once("traced_piece")
        out.example("traced", toml_string(Role.STITCH))
    if "cut" not in said:
        out.once("cut")
        out.example("cut", _cut_example(hints))
    out.blank()
    _say_edges(hints, out)
    _say_examples(piece, hints, said, out)
    out.plain(lines[end:])


def seam_example(pieces: Sequence[NewPiece], out: Remarks) -> None:
    """Add the example of a seam: two edges about as long as one another."""
    out.part(out.word("seams"))
    out.blank()
    out.remark("seam")
    edges = [
        (EdgeName(each.piece.name, hint.letter), hint.length)
        for each in pieces
        for hint in _sewn(hints_of(each.piece))
    ][:_COMPARED]
    pairs = [
        (
            one[0].piece == other[0].piece,
            abs(one[1] - other[1]),
            str(one[0]),
            str(other[0]),
        )
        for one, other in combinations(edges, 2)
        if one[0] != other[0]
    ]
    own = [(True, 0.0, str(name), str(name)) for name, _ in edges[:1]]
    if not pairs and not own:
        return
    _, _, first, second = min(pairs or own)
    out.plain(["#[[seam]]"])
    out.example("name", toml_string(out.word("seam_example")))
    out.example("join", f"[{toml_string(first)}, {toml_string(second)}]")
    out.example("ease", length(0))


def _copied_table(new: NewPiece, whole: NewPattern) -> toml.Table:
    piece = new.piece
    table = toml.Table("[[piece]]")
    table.text("name", piece.name)
    table.text("drawing", new.drawing)
    table.text("layer", new.layer)
    if new.unsaid and whole.traced and not whole.traced_for_all:
        table.text("traced", whole.traced)
    table.say("cut", cut_words(piece.cuts))
    table.text("fold", new.fold)
    return table


def _cut_example(hints: Sequence[EdgeHint]) -> str:
    folded = any(hint.lies is Lies.FOLD for hint in hints)
    return cut_words([Cut(1, "main", Lay.FOLD) if folded else Cut(2, "main", Lay.PAIR)])


def _say_edges(hints: Sequence[EdgeHint], out: Remarks) -> None:
    for style in dict.fromkeys(hint.style for hint in hints):
        own = [hint for hint in hints if hint.style == style]
        out.remark("edges_style" if style else "edges", style=style)
        for hint in own[:_LISTED]:
            out.free(edge_words(hint, out), "  ")
        if len(own) > _LISTED:
            out.free(out.word("edges_more", count=len(own) - _LISTED), "  ")


def edge_words(hint: EdgeHint, out: Remarks) -> str:
    """``A  685 mm (27 in), straight, left``."""
    return out.word(
        "edge" if hint.lies is Lies.SEWN else "edge_lies",
        letter=hint.letter,
        mm=format_mm(hint.length),
        inch=format_inch(hint.length),
        shape=out.word("straight" if hint.straight else "curved"),
        side=out.word(f"side_{hint.side}"),
        lies="" if hint.lies is Lies.SEWN else out.word(f"lies_{hint.lies}"),
    )


def _say_examples(piece: Piece, hints: Sequence[EdgeHint], said: set[str], out: Remarks) -> None:
    folds = possible_folds(hints)[:_FOLDS] if "fold" not in said else ()
    sewn = _sewn(hints)
    hem = _hem(piece, hints, sewn) if "hem" not in said else None
    others = [hint.letter for hint in sewn if hint is not hem]
    out.blank()
    if "names" not in said:
        out.once("names")
        letters = list(dict.fromkeys(hint.letter for hint in hints))[:_LISTED]
        out.example("names", inline([(letter, '""') for letter in letters]))
    if folds:
        several = len(folds) > 1
        names = listed(folds, out.language, "or")
        out.blank()
        out.remark("fold_several" if several else "fold_one", letter=folds[0], letters=names)
        out.example("fold", toml_string(folds[0]))
    if hem:
        out.once("hem")
        pairs = [("edge", toml_string(hem.letter)), ("allowance", toml_string("30 mm"))]
        out.example("hem", inline(pairs))
    elif "hem" not in said and others and not out.told("hem"):
        out.once("hem_how", letter=others[0])
    if others:
        letter = others[0]
        if "allowances" not in said:
            out.once("widths")
            out.example("allowances", inline([(letter, length(10))]))
        if "raw" not in said:
            out.once("raw", letter=letter)
        if "notches" not in said:
            out.once("notches")
            pairs = [("edge", toml_string(letter)), ("at", toml_string("50 %"))]
            out.example("notches", f"[{inline(pairs)}]")
    straight = sorted((hint for hint in hints if hint.straight), key=lambda h: not h.upright)
    if piece.grain is None and "grain" not in said and straight:
        out.once("grain")
        out.example("grain", toml_string(straight[0].letter))
    _say_styles(piece, hem.letter if hem else "", said, out)
    if "notes" not in said:
        out.once("notes")
        out.example("notes", f"[{toml_string(out.word('notes_example'))}]")


def _say_styles(piece: Piece, hem: str, said: set[str], out: Remarks) -> None:
    """Most styles differ at the hem; without one, the edge that is nearest to the line."""
    shared = next((outline for outline in piece.outlines if not outline.style), None)
    if shared is None or "styles" in said:
        return
    nearest: dict[str, str] = {}
    for line in sorted(piece.lines, key=lambda line: line.path.length):
        if line.style:
            edge = min(shared.edges, key=lambda edge: _apart(edge.path, line.path))
            nearest[line.style] = toml_string(hem or edge.letter)
    if nearest:
        out.once("style_edges")
        out.example("styles", inline(list(nearest.items())))


def _apart(edge: Path, line: Path) -> float:
    """How far (millimetres) the ends of two lines are from one another, both together."""
    along = edge.start.to(line.start) + edge.end.to(line.end)
    return min(along, edge.start.to(line.end) + edge.end.to(line.start))


def _sewn(hints: Sequence[EdgeHint]) -> list[EdgeHint]:
    """Edges that an example may use, each letter once: not those that could be the fold."""
    free, folds = free_letters(hints), possible_folds(hints)[:1]
    by_letter = {hint.letter: hint for hint in reversed(hints)}
    return [by_letter[letter] for letter in free if letter not in folds]


def _hem(piece: Piece, hints: Sequence[EdgeHint], sewn: Sequence[EdgeHint]) -> EdgeHint | None:
    """A wide edge at the bottom or else the top, or one all round, as hems are; None for none."""
    least = _WIDE_HEM * piece.bounds.width
    for side in ("bottom", "top", "round"):
        wide = [
            hint
            for hint in sewn
            if hint.side == side
            and hint.length >= least
            and all(each.length >= _BESIDE_HEM for each in _beside(hint, hints))
        ]
        if wide:
            return max(wide, key=lambda hint: hint.length)
    return None


def _beside(hint: EdgeHint, hints: Sequence[EdgeHint]) -> Iterator[EdgeHint]:
    """The neighbours of every edge of that letter."""
    for style in {each.style for each in hints}:
        ring = [each for each in hints if each.style == style]
        for nth, each in enumerate(ring):
            if each.letter == hint.letter:
                yield from (ring[nth - 1], ring[(nth + 1) % len(ring)])
