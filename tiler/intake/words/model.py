"""What the maker says, checked, before any drawing is read."""

from __future__ import annotations

from dataclasses import dataclass, field

from tiler.intake.points.point import Measured
from tiler.pattern.handover import Handover
from tiler.pattern.model import Cut, Lies, Part, Role, Seam, Side
from tiler.pattern.placed import Placed
from tiler.pattern.wishes import Finish, Wishes


@dataclass(frozen=True, slots=True)
class EdgeWord:
    """One thing that the maker says of one edge.

    Args:
        letter: Which edge.
        lies: What becomes of it; None when this word is about something else.
        name: Its name; empty when this word is about something else.
        where: File, line, piece and key.
        allowance: Millimetres; None when this word is about something else.
        finish: How its allowance ends; None when this word is about something else.
    """

    letter: str
    lies: Lies | None
    name: str
    where: str
    allowance: float | None = None
    finish: Finish | None = None


@dataclass(frozen=True, slots=True)
class Letter:
    """An edge that a wish names by its letter.

    Args:
        letter: The letter; empty for the fold, wherever it lies.
        where: File, line, piece and key.
    """

    letter: str
    where: str


@dataclass(frozen=True, slots=True)
class PieceWords:
    """What the maker says of one piece.

    Args:
        name: Unique in the pattern.
        drawing: File of the drawing, relative to the pattern folder, with forward slashes.
        layer: The layer of the drawing that holds the piece; empty for the whole drawing.
        cuts: The cutting instruction; empty when not said.
        allowance: Millimetres; None when not said.
        edges: What is said of its edges.
        notes: The maker's words.
        where: File, line and piece.
        traced: CUT or STITCH, what its outline is when the drawing does not say; None when
            nothing says.
        traced_where: File, line and key of that.
        part: Which side of the body it lies on.
        side: Left or right, as worn.
        wishes: What the drafter is asked to do.
        letters: Every edge that the wishes name.
        points: What was measured in place of a drawing, which then is the pattern file itself.
    """

    name: str
    drawing: str
    layer: str = ""
    cuts: tuple[Cut, ...] = ()
    allowance: float | None = None
    edges: tuple[EdgeWord, ...] = ()
    notes: tuple[str, ...] = ()
    where: str = ""
    traced: Role | None = None
    traced_where: str = ""
    part: Part | None = None
    side: Side | None = None
    wishes: Wishes = field(default_factory=Wishes)
    letters: tuple[Letter, ...] = ()
    points: tuple[Measured, ...] = ()


@dataclass(frozen=True, slots=True)
class PatternWords:
    """What the maker says of the whole pattern; names as in `tiler.pattern.model.Pattern`."""

    title: str
    pieces: tuple[PieceWords, ...]
    maker: str = ""
    version: str = ""
    about: str = ""
    traced_from: str = ""
    cloths: tuple[tuple[str, str], ...] = ()
    styles: tuple[tuple[str, str], ...] = ()
    seams: tuple[Seam, ...] = ()
    joined: tuple[tuple[str, str], ...] = ()
    together: tuple[tuple[str, ...], ...] = ()
    traced_stretch: float | None = None
    cloth_stretch: tuple[tuple[str, float], ...] = ()
    handover: Handover = field(default_factory=Handover)
    placed: tuple[Placed, ...] = ()
