"""What stands on a page beside the pattern: measures of the right size, and nothing unmarked."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.pattern.bounds import Bounds
from tiler.proof.geometry import Floats, box_window, comes_into, grown_window, mapped
from tiler.proof.ink import Unseen
from tiler.proof.known import Known
from tiler.proof.measuring import EDGE
from tiler.proof.placing import Placed, marked_strokes
from tiler.proof.verdict import Fault

#: A measure may be off by this much, mm; it is drawn from numbers, not measured on cloth.
_TRUE = 0.01
#: Widths of lines of the furniture, mm: too wide anywhere, and too bold among pattern lines.
WIDEST = 1.0
BOLD = 0.4
_SQUARES = ((100.0, 100.0), (101.6, 101.6))


def measure_faults(
    page: Sequence[Placed], name: str, known: Known, *, squares: bool, bars: bool
) -> list[Fault]:
    """Check bars and calibration squares: every one as long as it says, none missing or hidden.

    Args:
        page: Everything drawn on the page.
        name: What it is called.
        known: The layers.
        squares: Whether the squares must be there.
        bars: Whether a bar across and one up must be there.
    """
    faults: list[Fault] = []
    declared: list[tuple[float, float]] = []
    for drawn in marked_strokes(list(page)):
        mark = drawn.mark
        if mark.measure is None:
            continue
        declared.append(mark.measure)
        if not drawn.seen:
            text = f"the {_words(*mark.measure)} does not show, or not all of it"
            faults.append(Fault("measure", name, text))
        if not known.stays(mark.layers):
            layer = known.words(mark.layers)
            text = f"the {_words(*mark.measure)} hangs in the layer {layer!r}, and would go with it"
            faults.append(Fault("measure", name, text))
        size: Floats = np.ptp(drawn.strokes.reshape(-1, 2), axis=0)
        off = float(np.abs(size - np.array(mark.measure)).max())
        if not off <= _TRUE:
            text = f"the {_words(*mark.measure)} is {size[0]:.2f} x {size[1]:.2f} mm"
            faults.append(Fault("measure", name, text, off))
    for square in _SQUARES if squares else ():
        if not any(_near(square, size) for size in declared):
            text = f"the {_words(*square)} is not there"
            faults.append(Fault("measure", name, text))
    if not bars:
        return faults
    if not any(width > 0 and height == 0 for width, height in declared):
        faults.append(Fault("measure", name, "there is no check bar across"))
    if not any(width == 0 and height > 0 for width, height in declared):
        faults.append(Fault("measure", name, "there is no check bar up"))
    return faults


def loose_faults(page: Sequence[Placed], name: str) -> list[Fault]:
    """Text, pictures and filled areas that are not marked as furniture."""
    loose: set[str] = set()
    for placed in page:
        if not placed.around.furniture:
            loose |= placed.ink.loose
    if not loose:
        return []
    things = " and ".join(sorted(loose))
    return [Fault("extra", name, f"there is {things} outside the furniture and the pattern")]


def bold_faults(
    page: Sequence[Placed], name: str, window: Bounds | None, head: Bounds | None = None
) -> list[Fault]:
    """Lines of the furniture that could hide the pattern or be taken for it.

    Args:
        page: Everything drawn on the page.
        name: What it is called.
        window: Where the pattern shows, page mm; None for a page without pattern.
        head: The part of the window where no pattern may be, page mm: bold lines may.
    """
    if window is not None and head is not None:
        window = window._replace(top=head.bottom)
    texts: dict[str, None] = {}
    for placed in page:
        ink = placed.ink
        if not len(ink.strokes):
            continue
        greatest = placed.nib_sizes()[:, 1]
        bold = (greatest >= BOLD)[ink.nib]
        white = (ink.unseen & int(Unseen.WHITE)) != 0
        which = np.flatnonzero(bold | white)
        marks = np.array([k for k in np.unique(ink.mark[which]) if placed.mark(int(k)).furniture])
        which = which[np.isin(ink.mark[which], marks)]
        widest = float(greatest[ink.nib[which]].max(initial=0.0))
        if widest > WIDEST:
            texts[f"the furniture has a line {widest:.2f} mm wide"] = None
        if window is None or not len(which):
            continue
        inside = np.concatenate([placed.window, grown_window(box_window(*window), -EDGE)])
        which = which[comes_into(mapped(ink.strokes[which], placed.matrix), inside)]
        if white[which].any():
            texts["the furniture has a white line where the pattern is"] = None
        if (bold & ~white)[which].any():
            texts["the furniture has a line as bold as the pattern's own where the pattern is"] = (
                None
            )
    return [Fault("extra", name, text) for text in texts]


def _words(width: float, height: float) -> str:
    if width and height:
        return f"calibration square of {width:g} x {height:g} mm"
    return f"check bar of {max(width, height):g} mm {'across' if width else 'up'}"


def _near(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= _TRUE
