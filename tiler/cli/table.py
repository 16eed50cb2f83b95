"""The table that ``blocksheet look`` prints."""

from __future__ import annotations

from tiler.cli.telling import tell
from tiler.drafting.inventory import PieceFacts, inventory
from tiler.pattern.model import Pattern
from tiler.pattern.units import format_inch, format_mm


def print_table(pattern: Pattern) -> None:
    """Print every piece with its edges; lengths in mm and in inches to 1/8."""
    facts = [pattern.maker, f"version {pattern.version}" if pattern.version else ""]
    facts.append(f"pattern digest {pattern.digest}")
    tell(f"{pattern.title}  ({', '.join(fact for fact in facts if fact)})")
    for piece in inventory(pattern):
        tell("")
        _print_piece(piece)
    tell("")


def _print_piece(piece: PieceFacts) -> None:
    size = f"{format_mm(piece.width)} × {format_mm(piece.height)}"
    inch = f"{format_inch(piece.width)} × {format_inch(piece.height)}"
    tell(f"{piece.name}   {size}   ({inch})   area {piece.area / 1e6:.4f} m²   {_cut(piece)}")
    several = len({edge.style for edge in piece.edges}) > 1
    for edge in piece.edges:
        style = f"{edge.style} " if several and edge.style else ""
        tell(
            f"  {style}{edge.letter:<3}{edge.name:<22}{edge.lies:<7}"
            f"{format_mm(edge.length):>10}  {format_inch(edge.length):>10}"
        )
    drawn = [f"outline is the {piece.outline} line"]
    drawn += [f"{count} {role}" for role, count in piece.lines.items()]
    drawn += [f"{count} {role}" for role, count in piece.marks.items()]
    drawn.append(f"grain {format_mm(piece.grain, 0)}" if piece.grain else "no grainline")
    if piece.styles:
        drawn.append(f"styles {', '.join(piece.styles)}")
    tell(f"  {'; '.join(drawn)}")


def _cut(piece: PieceFacts) -> str:
    if not piece.cut:
        return "cut not stated"
    return "cut " + ", ".join(f"{c['count']} {c['cloth']} ({c['lay']})" for c in piece.cut)
