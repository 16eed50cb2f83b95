"""What a pattern is: pieces in millimetres, y up, every value frozen."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from enum import StrEnum

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.path import Path


class Role(StrEnum):
    """What a line in a drawing is for."""

    CUT = "cut"
    STITCH = "stitch"
    FOLD = "fold"
    GRAIN = "grain"
    NOTCH = "notch"
    DART = "dart"
    DRILL = "drill"
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


class Severity(StrEnum):
    """NOTE: good to know. WARNING: something was left out or is not known."""

    NOTE = "note"
    WARNING = "warning"


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
    """

    letter: str
    path: Path
    lies: Lies = Lies.SEWN
    name: str = ""


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
class Line:
    """A line on the piece that is not its outline."""

    role: Role
    path: Path
    style: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """A notch or a drill point.

    Args:
        role: NOTCH or DRILL.
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
        marks: Notches and drill points.
        grain: The grainline, from its lower to its upper end; None when not drawn.
        cuts: The cutting instruction; empty when the maker has not said.
        allowance: Seam allowance in millimetres that goes with the outline; None when not said.
        notes: The maker's words for this piece.
        drawing: The file that it was read from.
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
        things: tuple[Outline | Line | Mark, ...] = (*self.outlines, *self.lines, *self.marks)
        return tuple(dict.fromkeys(thing.style for thing in things if thing.style))


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

    @property
    def digest(self) -> str:
        """Eight hexadecimal digits that change whenever a source file changes."""
        total = hashlib.sha256()
        for source in self.sources:
            total.update(f"{source.name}\0{len(source.content)}\0".encode())
            total.update(source.content)
        words = total.hexdigest()[:8]
        return f"{words[:4]}-{words[4:]}"
