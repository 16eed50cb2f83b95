"""The table that ``blocksheet look`` prints."""

from __future__ import annotations

from dataclasses import replace

from tiler.cli.telling import tell
from tiler.drafting.inventory import EdgeFacts, PieceFacts, inventory
from tiler.pattern.model import Pattern, Seam
from tiler.pattern.units import format_inch, format_mm
from tiler.pattern.wishes import Paper


def print_table(pattern: Pattern) -> None:
    """Print every piece with its edges; lengths in mm and in inches to 1/8."""
    facts = [pattern.maker, f"version {pattern.version}" if pattern.version else ""]
    facts.append(f"pattern digest {pattern.digest}")
    tell(f"{pattern.title}  ({', '.join(fact for fact in facts if fact)})")
    for piece in inventory(pattern):
        tell("")
        _print_piece(piece)
    if pattern.seams:
        tell("")
        tell("Seams")
        for seam in pattern.seams:
            tell(f"  {_seam(seam)}")
    tell("")


def _print_piece(piece: PieceFacts) -> None:
    size = f"{format_mm(piece.width)} × {format_mm(piece.height)}"
    inch = f"{format_inch(piece.width)} × {format_inch(piece.height)}"
    tell(f"{piece.name}   {size}   ({inch})   area {piece.area / 1e6:.4f} m²   {_cut(piece)}")
    for edge, styles in _once(piece.edges):
        beside = "; ".join(part for part in (_beside(edge, piece), styles) if part)
        line = (
            f"  {edge.letter:<3}{edge.name:<22}{edge.lies:<7}"
            f"{format_mm(edge.length):>10}  {format_inch(edge.length):>10}  {beside}"
        )
        tell(line.rstrip())
    for line in (_drawn(piece), _worn(piece)):
        if line:
            tell(f"  {line}")


def _once(edges: tuple[EdgeFacts, ...]) -> list[tuple[EdgeFacts, str]]:
    """Every edge once, by letter, with the styles that it belongs to unless all share it."""
    alike: dict[EdgeFacts, list[str]] = {}
    for edge in edges:
        alike.setdefault(replace(edge, style=""), []).append(edge.style)
    every = len({edge.style for edge in edges})
    return [
        (edge, "" if len(styles) == every else f"style {', '.join(styles)}")
        for edge, styles in sorted(alike.items(), key=lambda one: _place(one[0].letter))
    ]


def _place(letter: str) -> tuple[int, str]:
    return len(letter), letter


def _beside(edge: EdgeFacts, piece: PieceFacts) -> str:
    """What lies beside an edge: its allowance, and its stitch line where it is not the edge."""
    if edge.lies == "fold":
        return ""
    if edge.allowance is None:
        words = "allowance not stated"
    elif edge.allowance == 0:
        words = "no allowance"
    else:
        words = f"allowance {format_mm(edge.allowance)}"
    if edge.finish:
        words += f", {edge.finish}"
    if piece.outline == "cut" and edge.stitched is not None and edge.allowance:
        words += f", stitch line {format_mm(edge.stitched)}"
    return words


def _drawn(piece: PieceFacts) -> str:
    drawn = [f"outline is the {piece.outline} line"]
    drawn += [f"{count} {role}" for role, count in piece.lines.items() if role != "dart"]
    drawn += [_counted(piece.darts, "dart")] if piece.darts else []
    drawn += [f"{count} {role}" for role, count in piece.marks.items()]
    drawn.append(f"grain {format_mm(piece.grain, 0)}" if piece.grain else "no grainline")
    if piece.styles:
        drawn.append(f"styles {', '.join(piece.styles)}")
    return "; ".join(drawn)


def _worn(piece: PieceFacts) -> str:
    """Where the piece is worn, and how it comes to paper."""
    words = [piece.part] if piece.part else []
    words += [f"{piece.side} side, drawn face up"] if piece.side else []
    words += ["printed whole, opened across its fold"] if piece.paper == Paper.WHOLE else []
    words += [f"printed joined to {piece.joined_to}"] if piece.joined_to else []
    return "; ".join(words)


def _seam(seam: Seam) -> str:
    """Such as ``side seam: Front.E with Back.E, ease 5 mm to 10 mm``."""
    sides = [" + ".join(str(edge) for edge in side) for side in (seam.first, seam.second)]
    for number, times in enumerate(seam.times):
        sides[number] += f" ({times} times)" if times > 1 else ""
    words = f"{seam.name}: " if seam.name else ""
    words += " with ".join(sides)
    low, high = seam.ease
    if (low, high) == (0.0, 0.0) and not seam.equal:
        return words
    span = format_mm(low) if low == high else f"{format_mm(low)} to {format_mm(high)}"
    return f"{words}, ease {span}"


def _cut(piece: PieceFacts) -> str:
    if not piece.cut:
        return "cut not stated"
    return "cut " + ", ".join(f"{c['count']} {c['cloth']} ({c['lay']})" for c in piece.cut)


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
