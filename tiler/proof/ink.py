"""What one content stream leaves on paper, in the stream's own space."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntFlag

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


VISIBLE = Unseen(0)


UNSEEN_WORDS = {
    Unseen.WHITE: "it is drawn in white",
    Unseen.CLEAR: "it is drawn fully transparent",
    Unseen.THIN: "its line has no width",
    Unseen.DASHED: "its dashes have no length",
    Unseen.MASKED: "a soft mask lies over it",
    Unseen.ODD_CLIP: "it is clipped by a shape that is not convex",
    Unseen.TRIMMED: "a clip inside its own drawing cuts into it",
}


@dataclass(frozen=True, slots=True)
class Mark:
    """One stretch of marked content.

    Args:
        furniture: Whether it (or one around it) is an artifact.
        joint: The joint and the point of a registration cross.
        measure: Width and height in millimetres that its strokes are to have.
        layers: Keys of the optional content groups that it belongs to.
    """

    furniture: bool = False
    joint: tuple[int, int] | None = None
    measure: tuple[float, float] | None = None
    layers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """A form drawn inside another stream.

    Args:
        form: Key of the form.
        matrix: Form space to the space of the stream.
        window: The clip in force, in the space of the stream.
        mark: Index of the marked content it stands in, -1 for none.
        unseen: The graphics state that the form starts with, as far as it hides strokes.
    """

    form: int
    matrix: Affine
    window: Floats
    mark: int
    unseen: Unseen


@dataclass(frozen=True, slots=True)
class Ink:
    """Everything drawn by one stream.

    Args:
        strokes: Control points (n, 4, 2) of every stroked segment.
        mark: For each, the index of its marked content; -1 for none.
        unseen: For each, `Unseen` flags.
        marks: The stretches of marked content.
        uses: The forms drawn.
        loose: What else is painted outside marked artifacts, in words.
    """

    strokes: Floats
    mark: Ints
    unseen: Ints
    marks: tuple[Mark, ...]
    uses: tuple[Use, ...]
    loose: frozenset[str] = field(default_factory=frozenset)
