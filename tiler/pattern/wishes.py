"""What a maker asks the drafter to do to a piece, before it is done."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Finish(StrEnum):
    """How the corners of the cut line at the ends of an edge are finished.

    MITRE: both cut lines run on straight until they meet; a point further than the mitre limit
        from the stitch corner is blunted square to the line from that corner to it.
    SQUARE: for a seam that is sewn and pressed first and crossed by the other one later. The first
        seam's stitch line is run on to the second edge's cut line, and the first edge's allowance
        is cut off there, square to its own seam.
    REFLECTED: for a hem or sleeve end that turns up. Inside the hem's allowance the side's cut
        line is its own mirror image across the hem's stitch line, so that it lies flat once turned.
    """

    MITRE = "mitre"
    SQUARE = "square"
    REFLECTED = "reflected"


class Paper(StrEnum):
    """How a half piece is printed: HALF as drawn, WHOLE opened across its fold."""

    HALF = "half"
    WHOLE = "whole"


class NotchShape(StrEnum):
    """SLIT: a short line into the allowance. WEDGE: a point that stands out from the cut line."""

    SLIT = "slit"
    WEDGE = "wedge"


@dataclass(frozen=True, slots=True)
class Place:
    """A place on an edge, by length or by share, one of the two.

    Args:
        edge: The edge's letter.
        length: Millimetres along the stitch line.
        fraction: From 0 to 1.
        from_end: Whether it is counted from the edge's end instead of from its start; edges run
            clockwise.
    """

    edge: str
    length: float | None = None
    fraction: float | None = None
    from_end: bool = False


@dataclass(frozen=True, slots=True)
class EdgeName:
    """An edge of a piece of the pattern, as ``Front.E`` names it."""

    piece: str
    letter: str

    def __str__(self) -> str:
        return f"{self.piece}.{self.letter}"


@dataclass(frozen=True, slots=True)
class NotchWish:
    """A notch to put on an edge.

    Args:
        edge: The letter of the edge that it stands on.
        at: Where; None when `meets` says it.
        meets: The edge whose notches are to be met once the seam is walked; None when `at` says
            where.
        count: 1 for a single, 2 for a double notch; None for what the piece's part asks (single
            on a front, double on a back).
        shape: None for the pattern's own shape.
        where: File, line, piece and key.
    """

    edge: str
    at: Place | None = None
    meets: EdgeName | None = None
    count: int | None = None
    shape: NotchShape | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class MarkWish:
    """Marks in a row beside an edge.

    Args:
        kind: A role of marks: drill, button or buttonhole.
        at: The first one's place on the edge.
        inside: Millimetres from the stitch line into the piece, square to the edge.
        count: How many.
        apart: Millimetres along the edge from one to the next.
        size: Length of a buttonhole or width of a button, in millimetres; None for the usual.
        where: File, line, piece and key.
    """

    kind: str
    at: Place
    inside: float
    count: int = 1
    apart: float = 0.0
    size: float | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class CheckCloth:
    """Readings off a checked or striped cloth: one repeat flat, and across the sewn dart.

    Args:
        flat: Millimetres of one repeat where the cloth lies flat.
        sewn: Millimetres of one repeat, measured across the sewn dart (the mean over `repeats`).
        repeats: How many repeats were measured across the dart.
    """

    flat: float
    sewn: float
    repeats: int


@dataclass(frozen=True, slots=True)
class DartWish:
    """A dart to put into an edge.

    Args:
        at: Without `gives`, the middle of the dart's mouth; with it, where the sewn dart lies.
        length: Millimetres from the stitch line to the tip.
        intake: Millimetres between the legs at the stitch line, or the readings that tell it.
        pressed: Letter of the neighbouring edge towards which the sewn dart is pressed.
        gives: Letter of the neighbouring edge that moves out by the intake; empty when the outline
            has the width already.
        blend: Millimetres over which the edge that gives comes back to its old way.
        slant: Degrees by which the dart leans from square to the edge, anticlockwise.
        where: File, line, piece and key.
    """

    at: Place
    length: float
    intake: float | CheckCloth
    pressed: str
    gives: str = ""
    blend: float = 0.0
    slant: float = 0.0
    where: str = ""


@dataclass(frozen=True, slots=True)
class FisheyeWish:
    """A dart with two tips, inside the piece and parallel to an edge.

    Args:
        beside: The widest place, on that edge.
        inside: Millimetres from the edge to the dart's middle line, square to the edge.
        intake: Millimetres across the widest place.
        lengths: Millimetres from there to the tip ahead (clockwise along the edge), and back.
        where: File, line, piece and key.
    """

    beside: Place
    inside: float
    intake: float
    lengths: tuple[float, float]
    where: str = ""


@dataclass(frozen=True, slots=True)
class GrainWish:
    """A grainline to lay beside an edge.

    Args:
        along: Letter of the edge, which is straight; empty for the fold.
        turn: Degrees from the edge, anticlockwise: 45 for true bias, 90 across.
        where: File, line, piece and key.
    """

    along: str = ""
    turn: float = 0.0
    where: str = ""


@dataclass(frozen=True, slots=True)
class StyleWish:
    """Edges of the drawn outline that are a style's own.

    Args:
        style: The style.
        edges: Letters of the edges that its own line stands for; the drawn ones are its own when
            it has no line.
        where: File, line, piece and key.
    """

    style: str
    edges: tuple[str, ...]
    where: str = ""


@dataclass(frozen=True, slots=True)
class Wishes:
    """All that is asked for one piece.

    Args:
        paper: How a half piece is printed.
        stitch_line: Whether the stitch line is drawn inside a traced cut line.
        press_darts: Letter of the edge towards which the drawn darts are pressed, or empty.
        notch_shape: How notches that the drafter puts are cut.
    """

    paper: Paper = Paper.HALF
    stitch_line: bool = False
    press_darts: str = ""
    notch_shape: NotchShape = NotchShape.SLIT
    styles: tuple[StyleWish, ...] = ()
    darts: tuple[DartWish | FisheyeWish, ...] = ()
    notches: tuple[NotchWish, ...] = ()
    marks: tuple[MarkWish, ...] = ()
    grain: GrainWish | None = None
