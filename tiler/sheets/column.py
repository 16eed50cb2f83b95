"""Lines of text set one below the other."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import height_of, leading_of, wrapped


class Column:
    """Text that runs down a frame.

    Attributes:
        items: What has been set.
        top: Where the next line may begin; below the frame's bottom when it has run over.
    """

    def __init__(self, frame: Bounds) -> None:
        self.frame = frame
        self.items: list[Item] = []
        self.top = frame.top

    def add(
        self, text: str, size_pt: float, *, bold: bool = False, after: float = 1.6, grey: float = 0
    ) -> None:
        """Set a paragraph, broken to the frame's width, with some room after it (millimetres)."""
        for line in wrapped(text, size_pt, self.frame.width, bold=bold):
            self.top -= height_of(size_pt)
            at = Point(self.frame.left, self.top)
            self.items.append(Words(line, at, size_pt, bold=bold, grey=grey))
            self.top -= leading_of(size_pt) - height_of(size_pt)
        self.top -= after

    @property
    def rest(self) -> Bounds:
        """What is left of the frame."""
        left, bottom, right, _ = self.frame
        return Bounds(left, bottom, right, self.top)
