"""Marked content (ISO 32000-1, 14.6): which stretch of a stream belongs to what."""

from __future__ import annotations

from dataclasses import replace

from tiler.proof.ink import Mark
from tiler.proof.operands import senseless, two, whole
from tiler.proof.tokens import Operand

_MOST = 50_000


class Marking:
    """The stretches of one stream.

    Attributes:
        marks: All that were begun, but for those that say nothing of use.
        now: The index of the innermost one that is open, -1 for none.
    """

    def __init__(self) -> None:
        self.marks: list[Mark] = []
        self.now = -1
        self._outer: list[int] = []

    @property
    def furniture(self) -> bool:
        """Whether what is drawn now is an artifact."""
        return self.now >= 0 and self.marks[self.now].furniture

    def begin(self, tag: str, said: dict[str, Operand]) -> None:
        """Open a stretch.

        Args:
            tag: Its tag.
            said: Its properties; the key of an optional content group under ``layer``.
        """
        outer = self.marks[self.now] if self.now >= 0 else Mark()
        self._outer.append(self.now)
        if tag == "Artifact":
            joint = whole(said.get("Joint"))
            mark = Mark(
                furniture=True,
                number=outer.number if joint is None else joint,
                point=whole(said.get("Point")),
                kind=whole(said.get("Scale")),
                measure=two(said.get("Measure")),
                layers=outer.layers,
            )
        elif tag == "OC":
            layer = whole(said.get("layer"))
            layers = (*outer.layers, -1 if layer is None else layer)
            mark = replace(outer, layers=layers)
        else:
            return
        if len(self.marks) >= _MOST:
            raise senseless("marked content without end")
        self.now = len(self.marks)
        self.marks.append(mark)

    def end(self) -> None:
        """Close the innermost stretch."""
        if not self._outer:
            raise senseless("EMC")
        self.now = self._outer.pop()
