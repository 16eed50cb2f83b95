"""Pattern -> the text of `pattern.toml`, only what is said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.output.folder.handoverwords import handover_tables, say_handover
from tiler.output.folder.piecewords import piece_table
from tiler.output.folder.placedwords import placed_table
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Piece, Seam
from tiler.pattern.wishes import EdgeName, NotchShape


def pattern_words(pattern: Pattern, drawings: Mapping[str, str]) -> str:
    """The pattern file.

    Args:
        pattern: As read.
        drawings: Name of each piece -> file of its drawing.

    Raises:
        PatternError: Something that the pattern file has no words for.
    """
    common = _common_allowance(pattern.pieces)
    stitch_lines = all(piece.wishes.stitch_line for piece in pattern.pieces)
    tables = [_head(pattern, common, stitch_lines=stitch_lines)]
    described = _described(pattern)
    for name, pairs in (
        ("cloth", [(cloth, toml_string(text)) for cloth, text in pattern.cloths]),
        ("stretch", [(cloth, toml.share(share)) for cloth, share in pattern.cloth_stretch]),
        ("style", [(style, toml_string(text)) for style, text in described]),
    ):
        table = toml.Table(f"[{name}]")
        for key, value in pairs:
            table.say(key, value)
        if pairs:
            tables.append(table)
    tables += handover_tables(pattern.handover)
    for piece in pattern.pieces:
        own = None if piece.allowance == common else piece.allowance
        tables.append(piece_table(piece, drawings[piece.name], own, stitch_line=not stitch_lines))
    tables += [_seam(seam) for seam in pattern.seams]
    tables += [placed_table(placed) for placed in pattern.placed]
    return "\n\n".join("\n".join(table.lines()) for table in tables) + "\n"


def _head(pattern: Pattern, common: float | None, *, stitch_lines: bool) -> toml.Table:
    head = toml.Table()
    head.text("title", pattern.title)
    head.text("maker", pattern.maker)
    head.text("version", pattern.version)
    head.text("about", pattern.about)
    head.say("allowance", "" if common is None else toml.length(common))
    head.text("traced_from", pattern.traced_from)
    stretch = pattern.traced_stretch
    head.say("traced_stretch", "" if stretch is None else toml.share(stretch))
    shape = _notch_shape(pattern.pieces)
    head.text("notch", "" if shape is NotchShape.SLIT else shape.value)
    head.say("stitch_line", "true" if stitch_lines else "")
    pairs = [toml.one_or_list(pair) for pair in pattern.joined]
    head.say("joined", toml.listed(pairs, "joined") if pairs else "")
    groups = [toml.one_or_list(group) for group in pattern.together]
    head.say("keep_together", toml.listed(groups, "keep_together") if groups else "")
    say_handover(head, pattern.handover)
    return head


def _common_allowance(pieces: Sequence[Piece]) -> float | None:
    """The allowance that most pieces have; None when a piece has none, for it cannot say so."""
    widths = [piece.allowance for piece in pieces]
    return None if None in widths else Counter(widths).most_common(1)[0][0]


def _notch_shape(pieces: Sequence[Piece]) -> NotchShape:
    shapes = {piece.wishes.notch_shape: piece for piece in pieces}
    if len(shapes) > 1:
        names = " and ".join(f"{piece.name} ({shape})" for shape, piece in shapes.items())
        raise PatternError(
            "pieces differ in the shape of their notches, and a pattern folder has one for all",
            where=f"pieces {names}",
            remedy="Give single notches a shape of their own instead.",
        )
    return next(iter(shapes))


def _described(pattern: Pattern) -> Sequence[tuple[str, str]]:
    """The styles to describe: not those that drawings bring along without a description."""
    drawn = list(dict.fromkeys(s for piece in pattern.pieces for s in piece.styles))
    wanted = [style for style in pattern.styles if style[1]]
    brought = [(style, "") for style in drawn if (style, "") in pattern.styles]
    return wanted if (*wanted, *brought) == pattern.styles else pattern.styles


def _seam(seam: Seam) -> toml.Table:
    table = toml.Table("[[seam]]")
    table.text("name", seam.name)
    table.say("join", f"[{_side(seam.first)}, {_side(seam.second)}]")
    least, most = seam.ease
    if least == most:
        table.say("ease", toml.length(least) if least or seam.equal else "")
    else:
        table.say("ease", f"[{toml.length(least)}, {toml.length(most)}]")
    table.say("times", "" if seam.times == (1, 1) else f"[{seam.times[0]}, {seam.times[1]}]")
    table.say("turned", "" if seam.turned is None else toml.truth(seam.turned))
    table.say("match", "true" if seam.match else "")
    return table


def _side(names: Sequence[EdgeName]) -> str:
    return toml.one_or_list([str(name) for name in names])
