"""What a pattern is: pieces in millimetres, y up, every value frozen."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from enum import StrEnum

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.handover import Handover
from tiler.pattern.path import Path
from tiler.pattern.placed import Placed
from tiler.pattern.wishes import EdgeName, Finish, Wishes

#: Stands between the names of styles that share a line (`both`); no name of a style holds it.
AND = " + "


class Role(StrEnum):
    """What a line in a drawing is for."""

    CUT = "cut"
    STITCH = "stitch"
    FOLD = "fold"
    GRAIN = "grain"
    NOTCH = "notch"
    DART = "dart"
    DRILL = "drill"
    BUTTON = "button"
    BUTTONHOLE = "buttonhole"
    POCKET = "pocket"
    INSIDE = "inside"


class Lies(StrEnum):
    """What becomes of an edge."""

    SEWN = "sewn"
    FOLD = "fold"
    HEM = "hem"
    RAW = "raw"


class Lay(StrEnum):
    """How a piece lies on the cloth when it is cut."""

    FOLD = "fold"
    PAIR = "pair"
    COPIES = "copies"


class Part(StrEnum):
    """Which side of the body a piece lies on."""

    FRONT = "front"
    BACK = "back"


class Side(StrEnum):
    """On which side of the wearer a lone asymmetric piece is worn, drawn face up."""

    LEFT = "left"
    RIGHT = "right"


class Severity(StrEnum):
    """NOTE: good to know. WARNING: it shows, or is not known. ERROR: the garment is spoilt."""

    NOTE = "note"
    WARNING = "warning"
    ERROR = "error"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something noticed on the way that does not stop the work.

    Args:
        code: A short fixed name, for scripts.
        severity: How much it matters.
        where: File, piece and element.
        text: What was found and what to do, full sentences.
    """

    code: str
    severity: Severity
    where: str
    text: str

    def __str__(self) -> str:
        return f"{self.where}: {self.text}" if self.where else self.text


@dataclass(frozen=True, slots=True)
class Edge:
    """The part of an outline between two corners.

    Args:
        letter: A, B, C … clockwise from the corner nearest the lower left.
        path: From corner to corner, clockwise, millimetres.
        lies: What becomes of it.
        name: The maker's own word for it, or empty.
        allowance: Its seam allowance in millimetres; None for the piece's own.
        finish: How its allowance ends at its corners; None for what `lies` asks.
    """

    letter: str
    path: Path
    lies: Lies = Lies.SEWN
    name: str = ""
    allowance: float | None = None
    finish: Finish | None = None


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed ring of edges, clockwise.

    Args:
        role: CUT when the allowance is included, STITCH when the line is the seam itself.
        edges: In the order of their letters.
        style: The style that this outline belongs to; empty when all share it.
    """

    role: Role
    edges: tuple[Edge, ...]
    style: str = ""

    @property
    def path(self) -> Path:
        """The whole ring as one closed path."""
        segments = tuple(s for edge in self.edges for s in edge.path.segments)
        return Path(segments, closed=True)

    @property
    def area(self) -> float:
        """Square millimetres inside."""
        return abs(self.path.area)


@dataclass(frozen=True, slots=True)
class Run:
    """A part of one or more outlines as it is drawn: once, for all the styles that share it.

    Args:
        role: As its outline.
        edge: The edge that it is, or is a part of.
        style: Empty for all styles, one style, or several joined by `AND`.
    """

    role: Role
    edge: Edge
    style: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line on the piece that is not its outline; `style` as in `Run`."""

    role: Role
    path: Path
    style: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A notch or a drill point.

    Args:
        role: NOTCH, DRILL, BUTTON or BUTTONHOLE.
        at: The point meant: where the notch meets the outline, the centre of the drill mark.
        path: What is drawn.
    """

    role: Role
    at: Point
    path: Path
    style: str = ""


@dataclass(frozen=True, slots=True)
class Cut:
    """One line of the cutting instruction: how many, of which cloth, lying how."""

    count: int
    cloth: str
    lay: Lay


@dataclass(frozen=True, slots=True)
class Piece:
    """One paper outline with all that is drawn on it.

    Args:
        name: Unique in the pattern.
        outlines: The shared outline, or one a style.
        lines: Stitch, fold, dart, inside and style lines.
        marks: Notches, drill points and buttons.
        grain: The grainline, from its lower to its upper end; None when not drawn.
        cuts: The cutting instruction; empty when the maker has not said.
        allowance: Seam allowance in millimetres that goes with the outline; None when not said.
        notes: The maker's words for this piece.
        drawing: The file that it was read from.
        part: Which side of the body it lies on; None when not said.
        side: Left or right of the wearer, for a lone asymmetric piece; None when not said.
        wishes: What the drafter is asked to do to it.
        stitch: The stitch line as a ring of edges, one for each outline; empty when not known.
        shared: What the outlines of several styles look like with shared parts drawn once; empty
            when every outline is drawn whole.
    """

    name: str
    outlines: tuple[Outline, ...]
    lines: tuple[Line, ...] = ()
    marks: tuple[Mark, ...] = ()
    grain: Path | None = None
    cuts: tuple[Cut, ...] = ()
    allowance: float | None = None
    notes: tuple[str, ...] = ()
    drawing: str = ""
    part: Part | None = None
    side: Side | None = None
    wishes: Wishes = field(default_factory=Wishes)
    stitch: tuple[Outline, ...] = ()
    shared: tuple[Run, ...] = ()

    @property
    def place(self) -> str:
        """File and piece, for messages."""
        return f"{self.drawing}, piece {self.name}" if self.drawing else f"piece {self.name}"

    def allowance_of(self, edge: Edge) -> float | None:
        """Width of an edge's seam allowance, millimetres; None when nobody has said.

        The edge's own comes first; without one it is 0 on a fold and on a raw edge, and the
        piece's on all others.
        """
        if edge.allowance is not None:
            return edge.allowance
        return 0.0 if edge.lies in (Lies.FOLD, Lies.RAW) else self.allowance

    @property
    def runs(self) -> tuple[Run, ...]:
        """The outlines as they are drawn, every part once."""
        return self.shared or tuple(
            Run(outline.role, edge, outline.style)
            for outline in self.outlines
            for edge in outline.edges
        )

    @property
    def bounds(self) -> Bounds:
        """The smallest upright rectangle round everything that is drawn."""
        paths = [outline.path for outline in self.outlines]
        paths += [line.path for line in self.lines]
        paths += [mark.path for mark in self.marks]
        paths += [self.grain] if self.grain else []
        return bounds_of([path.bounds for path in paths])

    @property
    def styles(self) -> tuple[str, ...]:
        """The styles that have something of their own here, in order of appearance."""
        things: tuple[Outline | Run | Line | Mark, ...]
        things = (*self.outlines, *self.shared, *self.lines, *self.marks)
        return tuple(dict.fromkeys(s for thing in things for s in styles_in(thing.style)))

    @property
    def style_keys(self) -> tuple[str, ...]:
        """Every `style` that a run, line or mark has, the empty one left out, single ones first."""
        things: tuple[Outline | Run | Line | Mark, ...]
        things = (*self.runs, *self.lines, *self.marks)
        keys = dict.fromkeys((*self.styles, *(thing.style for thing in things)))
        return tuple(key for key in keys if key)


def styles_in(key: str) -> tuple[str, ...]:
    """The styles that a `style` names: none for what all share."""
    return tuple(key.split(AND)) if key else ()


@dataclass(frozen=True, slots=True)
class Seam:
    """Edges that are sewn together.

    Args:
        first: The edges of one side, in the order in which the seam runs over them.
        second: The edges of the other side, in the same order.
        ease: The least and the most (millimetres) by which the second side is meant to be longer.
        times: How often each side goes into the seam; only whole lengths are compared then.
        name: The maker's word for it, or empty.
        turned: Whether the second side starts at the other end than the tool would take; None to
            let the tool find the ends that meet.
        where: File, line and key.
        equal: Whether the maker has said that there is no ease (``ease = "0 mm"``), where else
            nothing is said of it; a sleeve head then has none either.
        match: Whether the check of the cloth is to run on across it.
    """

    first: tuple[EdgeName, ...]
    second: tuple[EdgeName, ...]
    ease: tuple[float, float] = (0.0, 0.0)
    times: tuple[int, int] = (1, 1)
    name: str = ""
    turned: bool | None = None
    where: str = ""
    equal: bool = False
    match: bool = False


@dataclass(frozen=True, slots=True)
class Source:
    """A file that the pattern was read from, kept byte for byte."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Pattern:
    """A whole pattern.

    Args:
        title: What it is called.
        pieces: In the maker's order.
        maker: Who made it.
        version: The maker's own count.
        about: A few sentences.
        cloths: Name of each cloth -> what to buy.
        styles: Name of each style -> what it is, in the maker's order.
        findings: What was noticed while reading.
        sources: The files it was read from, sorted by name.
        traced_from: What the blocks come from, in the maker's words.
        seams: Which edges are sewn together.
        joined: Names of half pieces that are printed on one sheet, their folds in one line.
        together: Groups of names, each of two or more: the pieces of a group lie on one sheet,
            each sharing a page with another one.
        traced_stretch: How far the cloth of the traced garment stretches, 0.25 for 25 %; None when
            not said.
        cloth_stretch: Name of a cloth -> how far it stretches.
        handover: What the maker tells whoever gets the pattern.
        placed: Where the maker has laid the pieces by hand, for each paper once.
    """

    title: str
    pieces: tuple[Piece, ...]
    maker: str = ""
    version: str = ""
    about: str = ""
    cloths: tuple[tuple[str, str], ...] = ()
    styles: tuple[tuple[str, str], ...] = ()
    findings: tuple[Finding, ...] = ()
    sources: tuple[Source, ...] = field(default=(), repr=False)
    traced_from: str = ""
    seams: tuple[Seam, ...] = ()
    joined: tuple[tuple[str, str], ...] = ()
    together: tuple[tuple[str, ...], ...] = ()
    traced_stretch: float | None = None
    cloth_stretch: tuple[tuple[str, float], ...] = ()
    handover: Handover = field(default_factory=Handover)
    placed: tuple[Placed, ...] = ()

    @property
    def digest(self) -> str:
        """Eight hexadecimal digits that change whenever a source file changes."""
        total = hashlib.sha256()
        for source in self.sources:
            total.update(f"{source.name}\0{len(source.content)}\0".encode())
            total.update(source.content)
        words = total.hexdigest()[:8]
        return f"{words[:4]}-{words[4:]}"
