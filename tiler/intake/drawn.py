"""What a drawing holds before anybody has said which piece it is."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.model import Finding, Role
from tiler.pattern.path import Path


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
    """

    path: Path
    role: Role | None
    style: str
    corner: bool
    element: str
    layers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A whole drawing at true size.

    Args:
        name: The file's name, for messages.
        width: Millimetres across.
        height: Millimetres up.
        paths: In drawing order, elements with role `ignore` or not displayed left out.
        findings: What had to be left out, one for each kind of thing.
    """

    name: str
    width: float
    height: float
    paths: tuple[DrawnPath, ...]
    findings: tuple[Finding, ...]
