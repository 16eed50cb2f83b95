"""Ways in which two pages can be joined."""

from __future__ import annotations

from enum import StrEnum


class Way(StrEnum):
    """How pages are joined; the value is the name that a user types.

    OVERLAP: a page is trimmed at its left and its top joint and laid over its neighbour's band.
    BUTT: all joined sides are trimmed, and the pages meet edge to edge under the tape.
    SEE_THROUGH: nothing is trimmed; a page is laid over the last one on a window pane or a light.
    """

    OVERLAP = "overlap"
    BUTT = "butt"
    SEE_THROUGH = "see-through"

    @property
    def about(self) -> str:
        """What it is, in one line, for whoever chooses."""
        return _ABOUT[self]

    @property
    def trims_over(self) -> bool:
        """Whether the later page (right or below) is cut along the joint."""
        return self is not Way.SEE_THROUGH

    @property
    def trims_under(self) -> bool:
        """Whether the earlier page (left or above) is cut along the joint as well."""
        return self is Way.BUTT

    @property
    def has_band(self) -> bool:
        """Whether a tint shows the band that the later page covers."""
        return self is Way.OVERLAP


_ABOUT = {
    Way.OVERLAP: "trim left and top, lay over the band of the page before",
    Way.BUTT: "trim all joined sides, tape them edge to edge",
    Way.SEE_THROUGH: "trim nothing, lay cross on cross against a window or a light",
}
