"""What one content stream leaves on paper, in the stream's own space."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntFlag
from typing import NamedTuple

from tiler.pattern.affine import Affine
from tiler.proof.geometry import Floats, Ints


class Unseen(IntFlag):
    """Why a stroke that is drawn does not show."""

    WHITE = 1
    CLEAR = 2
    THIN = 4
    DASHED = 8
    MASKED = 16
    ODD_CLIP = 32
    TRIMMED = 64
    BLENDED = 128
    THICK = 256
    GAPS = 512
    COVERED = 1024


VISIBLE = Unseen(0)


UNSEEN_WORDS = {
    Unseen.WHITE: "it is drawn in white",
    Unseen.CLEAR: "it is drawn fully transparent",
    Unseen.THIN: "its line is thinner than 0.05 mm",
    Unseen.THICK: "its line is wider than 2 mm, and so where it runs",
    Unseen.GAPS: "its dashes are more than 5 mm apart",
    Unseen.DASHED: "its dashes have no length",
    Unseen.MASKED: "a soft mask lies over it",
    Unseen.ODD_CLIP: "it is clipped by a shape that is not convex",
    Unseen.TRIMMED: "a clip inside its own drawing cuts into it",
    Unseen.BLENDED: "it is blended with what lies below it",
    Unseen.COVERED: "something is painted over it",
}


@dataclass(frozen=True, slots=True)
class Mark:
    """One stretch of marked content.

    Args:
        furniture: Whether it (or one around it) is an artifact.
        number: The joint that it belongs to.
        point: Which registration cross of its joint it is.
        kind: Which fine ticks of its joint it is.
        measure: Width and height in millimetres that its strokes are to have.
        layers: Keys of the optional content groups that it belongs to.
    """

    furniture: bool = False
    number: int | None = None
    point: int | None = None
    kind: int | None = None
    measure: tuple[float, float] | None = None
    layers: tuple[int, ...] = ()

    @property
    def joint(self) -> tuple[int, int] | None:
        """The joint and the point of a registration cross."""
        return _pair(self.number, self.point)

    @property
    def scale(self) -> tuple[int, int] | None:
        """The joint and the kind of fine ticks."""
        return _pair(self.number, self.kind)

    @property
    def exact(self) -> bool:
        """Whether its strokes are to be where they are for a reason of their own."""
        return self.point is not None or self.kind is not None or self.measure is not None

    def within(self, around: Mark) -> Mark:
        """The same in a drawing that stands in another stretch, which may say the rest."""

        def first(own: int | None, outer: int | None) -> int | None:
            return outer if own is None else own

        return Mark(
            self.furniture or around.furniture,
            first(self.number, around.number),
            first(self.point, around.point),
            first(self.kind, around.kind),
            self.measure or around.measure,
            (*around.layers, *self.layers),
        )


def _pair(one: int | None, other: int | None) -> tuple[int, int] | None:
    return None if one is None or other is None else (one, other)


class Nib(NamedTuple):
    """How wide a line is drawn.

    Args:
        matrix: Its space to the space of the stream.
        width: In its space; None for the width that the stream starts with.
        gap: The longest gap between dashes, in its space; None for what the stream starts with.
    """

    matrix: Affine
    width: float | None
    gap: float | None


@dataclass(frozen=True, slots=True)
class Cover:
    """An area painted over whatever was there before.

    Args:
        sides: Sides (n, 2, 2) of its outline, in the space of the stream; None when it fills the
            whole window.
        even_odd: Whether holes are told by counting sides instead of by their direction.
        window: The clip in force, in the space of the stream.
        dark: Whether it is known to be painted in a dark colour.
        mark: Index of the marked content it stands in, -1 for none.
        time: Its turn among the covers and forms of the stream.
    """

    sides: Floats | None
    even_odd: bool
    window: Floats
    dark: bool
    mark: int
    time: int


@dataclass(frozen=True, slots=True)
class Use:
    """A form drawn inside another stream.

    Args:
        form: Key of the form.
        matrix: Form space to the space of the stream.
        window: The clip in force, in the space of the stream.
        mark: Index of the marked content it stands in, -1 for none.
        unseen: The graphics state that the form starts with, as far as it hides strokes.
        width: The width of lines that it starts with; None for what the stream starts with.
        gap: The gap between dashes that it starts with; None for what the stream starts with.
        time: Its turn among the covers and forms of the stream.
    """

    form: int
    matrix: Affine
    window: Floats
    mark: int
    unseen: Unseen
    width: float | None
    gap: float | None
    time: int


@dataclass(frozen=True, slots=True)
class Ink:
    """Everything drawn by one stream.

    Args:
        strokes: Control points (n, 4, 2) of every stroked segment.
        mark: For each, the index of its marked content; -1 for none.
        unseen: For each, `Unseen` flags.
        nib: For each, the index of how wide it is drawn.
        nibs: The widths in use.
        marks: The stretches of marked content.
        uses: The forms drawn.
        covers: The areas painted.
        loose: What else is painted outside marked artifacts, in words.
    """

    strokes: Floats
    mark: Ints
    unseen: Ints
    nib: Ints
    nibs: tuple[Nib, ...]
    marks: tuple[Mark, ...]
    uses: tuple[Use, ...]
    covers: tuple[Cover, ...] = ()
    loose: frozenset[str] = field(default_factory=frozenset)
