"""What a drawing holds before anybody has said which piece it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from tiler.pattern.model import Finding, Role
from tiler.pattern.path import Path


class Unseen(StrEnum):
    """Why a layer has no lines to be seen, in words for messages."""

    HIDDEN = "what it holds is hidden"
    UNPAINTED = "they have neither fill nor stroke, and no role"
    BACKGROUND = "it holds the background of the page only"
    IGNORED = "its class is ignore"


@dataclass(frozen=True, slots=True)
class Slip:
    """A class or layer name that is no role, but was probably meant as one.

    Args:
        word: The name.
        like: What it looks like, such as ``"cut"`` with its quotation marks.
    """

    word: str
    like: str


@dataclass(frozen=True, slots=True)
class DrawnPath:
    """One continuous line of a drawing.

    Args:
        path: Millimetres, y up; `closed` where the drawing closes it.
        role: What it is for; None when the drawing does not say.
        style: The style that it belongs to; empty when all share it.
        corner: Whether it only marks a node of the outline as a corner (its centre counts).
        element: How to find it, such as ``<path id="hem"> on line 12``.
        layers: Ids and layer names of the groups round it, from the outside in.
        slip: The nearest name that looks like the role of an outline; None when there is none.
    """

    path: Path
    role: Role | None
    style: str
    corner: bool
    element: str
    layers: tuple[str, ...]
    slip: Slip | None = None


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A whole drawing at true size.

    Args:
        name: The file's name, for messages.
        width: Millimetres across.
        height: Millimetres up.
        paths: In drawing order, elements with role `ignore` or not displayed left out.
        findings: What had to be left out, one for each kind of thing.
        unseen: Name of a layer -> why lines in it were left out.
    """

    name: str
    width: float
    height: float
    paths: tuple[DrawnPath, ...]
    findings: tuple[Finding, ...]
    unseen: Mapping[str, Unseen] = field(default_factory=dict)
