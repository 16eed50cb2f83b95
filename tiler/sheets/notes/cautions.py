"""What can hurt whoever cuts, sews and wears what a pattern is for: only what it calls for.

A caution warns, names standards to look up where there are any, and hands over to local rules and
the makers' manuals. Its words stand in ``templates/<language>/cautions.toml``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from tiler.layout.papers import PAPERS
from tiler.pattern.handover import Wearer
from tiler.pattern.model import Lay, Lies, Pattern, Piece, Role
from tiler.sheets.words import say

#: What is longer is not reached across from one side of a table, millimetres (common practice, no
#: source).
ARM = 700.0
#: How a mat and a roll begin after ``--on``.
_MAT, _ROLL = "mat:", "roll:"


@dataclass(frozen=True, slots=True)
class Spread:
    """What is laid out on the table.

    Args:
        surfaces: As after ``--on``: names of papers, ``roll:914mm``, ``mat:bench``.
        longest: The longest side of the largest sheet, once it is taped, millimetres; 0 when not
            known.
    """

    surfaces: tuple[str, ...] = ()
    longest: float = 0.0


#: Whether a pattern, on what it is published on, calls for a caution.
Trigger = Callable[[Pattern, Spread], bool]


def something_to_cut(pattern: Pattern, spread: Spread) -> bool:
    """Paper and cloth: every pattern that has a piece."""
    return bool(pattern.pieces)


def cut_flat(pattern: Pattern, spread: Spread) -> bool:
    """Cloth that lies flat and single, which is when rotary cutters come out.

    So it lies under a projector's picture, and for a piece that is cut one by one, neither on the
    fold nor in pairs; when it is not said how a piece is cut, it may. A convention of ours.
    """
    cuts = [piece.cuts for piece in pattern.pieces]
    single = any(not each or any(cut.lay is Lay.COPIES for cut in each) for each in cuts)
    return single or projected(pattern, spread)


def sewn(pattern: Pattern, spread: Spread) -> bool:
    """A seam, a hem, a dart, a line to stitch, a pocket, a button or its hole.

    An edge of which nothing was said is a seam, as everywhere.
    """
    inside = (Role.STITCH, Role.POCKET, Role.BUTTON, Role.BUTTONHOLE)
    return _seamed(pattern) or _has(pattern, *inside)


def pressed(pattern: Pattern, spread: Spread) -> bool:
    """A seam, a hem, a dart, a pocket or a line to press.

    Interfacing is ironed too, but only on pieces that are sewn as well.
    """
    return _seamed(pattern) or _has(pattern, Role.FOLD, Role.POCKET)


def projected(pattern: Pattern, spread: Spread) -> bool:
    """A mat is among the surfaces."""
    return any(word.startswith(_MAT) for word in _words(spread))


def beyond_reach(pattern: Pattern, spread: Spread) -> bool:
    """A roll, or a sheet or a piece that is longer than an arm's reach."""
    words = _words(spread)
    sheets = [max(PAPERS[w].width, PAPERS[w].height) for w in words if w in PAPERS]
    pieces = [max(p.bounds.width, p.bounds.height) for p in pattern.pieces]
    longest = max([spread.longest, *sheets, *pieces], default=0.0)
    return longest > ARM or any(word.startswith(_ROLL) for word in words)


def cords_on_a_child(pattern: Pattern, spread: Spread) -> bool:
    """A child's garment with cords or drawstrings."""
    return _for_child(pattern) and pattern.handover.cords


def small_parts_on_a_child(pattern: Pattern, spread: Spread) -> bool:
    """A child's garment with small parts, buttons among them; a buttonhole asks for a button."""
    return _for_child(pattern) and _small_parts(pattern)


def worn_by_a_child(pattern: Pattern, spread: Spread) -> bool:
    """Any garment of a child: all cloth burns."""
    return _for_child(pattern)


def perhaps_a_child(pattern: Pattern, spread: Spread) -> bool:
    """Nobody has said whom it is for, and it has what would be a danger to a child.

    Without cords and small parts nothing is said of children then.
    """
    said = pattern.handover
    return said.wearer is None and (said.cords or _small_parts(pattern))


@dataclass(frozen=True, slots=True)
class Caution:
    """One danger.

    Args:
        key: A short fixed name, under which its words stand in the templates.
        calls: Whether a pattern calls for it.
        standards: Where to look further.
        child: Whether it is about a child's garment.
    """

    key: str
    calls: Trigger
    standards: tuple[str, ...] = ()
    child: bool = False

    def told(self, language: str) -> Told:
        """The caution in a language."""
        title = say(f"caution_{self.key}_title", language)
        text = say(f"caution_{self.key}_text", language)
        names = ", ".join(self.standards)
        look_up = say("caution_look_up", language, standards=names) if names else ""
        whose = say(f"caution_{self.key}_things", language)
        defers = say(
            "caution_defers_child" if self.child else "caution_defers", language, things=whose
        )
        return Told(self.key, title, text, look_up, defers)


@dataclass(frozen=True, slots=True)
class Told:
    """A caution in words.

    Args:
        key: As of its `Caution`.
        title: A few words, no full stop.
        text: Two to four sentences.
        look_up: A sentence that names standards; empty when there are none.
        defers: What comes before all of it: local rules and the makers' manuals.
    """

    key: str
    title: str
    text: str
    look_up: str
    defers: str


#: In the order of the work, then those for whoever wears it. Scopes and titles of EN 14878,
#: EN 17394-2, CEN/TS 17394-1 and CEN/TR 16792 as published by their standards bodies; EN 14682,
#: ASTM F1816 and 16 CFR 1120 (cords), 16 CFR 1610, 1615 and 1616 (cloth that burns) and IEC
#: 62471-5 (projectors) as their publishers name them. The rules on small parts of toys (EN 71-1,
#: 16 CFR 1501) are left out on purpose: 16 CFR 1501.3 exempts children's clothing and buttons.
CAUTIONS: tuple[Caution, ...] = (
    Caution("shears", something_to_cut),
    Caution("rotary", cut_flat),
    Caution("pins", sewn),
    Caution("iron", pressed),
    Caution("projector", projected, ("IEC 62471-5",)),
    Caution("lifting", beyond_reach),
    Caution("cords", cords_on_a_child, ("EN 14682", "ASTM F1816", "16 CFR 1120"), child=True),
    Caution(
        "small_parts",
        small_parts_on_a_child,
        ("CEN/TS 17394-1", "EN 17394-2", "CEN/TR 16792"),
        child=True,
    ),
    Caution(
        "flammable",
        worn_by_a_child,
        ("EN 14878", "16 CFR 1610", "16 CFR 1615", "16 CFR 1616"),
        child=True,
    ),
    Caution("perhaps_child", perhaps_a_child, ("EN 14682", "ASTM F1816", "EN 14878"), child=True),
)


def cautions_of(
    pattern: Pattern, surfaces: Sequence[str] = (), longest: float = 0.0
) -> tuple[Caution, ...]:
    """The cautions that a pattern calls for, in the order of the work.

    Args:
        pattern: As it was read, or drafted.
        surfaces: What it is published on, as after ``--on``.
        longest: The longest side of the largest sheet, once it is taped, millimetres; 0 when not
            known.
    """
    spread = Spread(tuple(surfaces), longest)
    return tuple(caution for caution in CAUTIONS if caution.calls(pattern, spread))


def _for_child(pattern: Pattern) -> bool:
    return pattern.handover.wearer is Wearer.CHILD


def _small_parts(pattern: Pattern) -> bool:
    return pattern.handover.small_parts or _has(pattern, Role.BUTTON, Role.BUTTONHOLE)


def _seamed(pattern: Pattern) -> bool:
    """A seam, a hem or a dart."""
    edges = {
        edge.lies
        for piece in pattern.pieces
        for ring in (*piece.outlines, *piece.stitch)
        for edge in ring.edges
    }
    sewn_edges = bool(edges & {Lies.SEWN, Lies.HEM})
    darts = any(piece.wishes.darts for piece in pattern.pieces)
    return sewn_edges or bool(pattern.seams) or darts or _has(pattern, Role.DART)


def _has(pattern: Pattern, *roles: Role) -> bool:
    """Whether a piece has such a line or mark, or is to get it."""
    return any(role in roles for piece in pattern.pieces for role in _roles(piece))


def _roles(piece: Piece) -> Iterator[str]:
    yield from (line.role for line in piece.lines)
    yield from (mark.role for mark in piece.marks)
    yield from (wish.kind for wish in piece.wishes.marks)


def _words(spread: Spread) -> list[str]:
    return [word.strip().lower() for word in spread.surfaces]
