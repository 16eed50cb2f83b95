"""How every kind of line looks: distinct in black and white, pattern lines above all others."""

from __future__ import annotations

from tiler.pattern.model import Role, styles_in
from tiler.sheets.drawing import Pen

CUT = Pen(0.55)
STITCH = Pen(0.3, dash=(4.0, 2.0))
FOLD = Pen(0.4, dash=(12.0, 2.0, 1.5, 2.0))
GRAIN = Pen(0.35)
NOTCH = Pen(0.5)

#: Pen of each role. A dash-dot chain is a fold, long dashes a seam, dots a placing line.
PENS: dict[Role, Pen] = {
    Role.CUT: CUT,
    Role.STITCH: STITCH,
    Role.FOLD: Pen(0.3, dash=(8.0, 1.6, 1.2, 1.6)),
    Role.GRAIN: GRAIN,
    Role.NOTCH: NOTCH,
    Role.DART: Pen(0.35),
    Role.DRILL: Pen(0.35),
    Role.BUTTON: Pen(0.35),
    Role.BUTTONHOLE: Pen(0.45),
    Role.POCKET: Pen(0.5, dash=(0.1, 2.4, 0.1, 1.2)),
    Role.INSIDE: Pen(0.5, dash=(0.1, 1.4)),
}

#: Dashes of the styles, in the order of the pattern's style list; told apart without colour.
#: None is that of the stitch line, for a style's stitch line has the style's dashes too; and none
#: is a long dash and one dot, which is a fold. The first ones are short, for the key shows the
#: dashes of two styles that share a line, one after the other, in the length of a sample.
STYLE_DASHES: tuple[tuple[float, ...], ...] = (
    (6.0, 1.6),
    (6.0, 1.6, 1.8, 1.6),
    (3.5, 1.6, 0.8, 1.6, 0.8, 1.6),
    (9.0, 2.0, 1.0, 2.0, 1.0, 2.0, 1.0, 2.0),
    (2.2, 2.2),
    (18.0, 2.0),
    (5.0, 2.0, 5.0, 2.0, 1.0, 2.0),
    (14.0, 2.0, 2.5, 2.0, 2.5, 2.0),
)
#: Lines that styles tell apart. All others look as what they are for, whosever they are.
_BY_STYLE = (Role.CUT, Role.STITCH)

#: Page furniture is thinner and lighter than any pattern line.
HAIR = Pen(0.15, grey=0.45)
FINE = Pen(0.2, grey=0.25)
CROSS = Pen(0.2)
TRIM = Pen(0.2, grey=0.4, dash=(1.2, 1.0))
#: Ticks that are read to a tenth of a millimetre are black: printers draw grey as a screen of dots.
TICK = Pen(0.14)
BAR = Pen(0.25)
GLUE_TINT = 0.93


def line_pen(role: Role, styles: tuple[str, ...], style: str) -> Pen:
    """The pen of a line: of its role, and of its style where the role is cut or stitch.

    Args:
        role: What it is for.
        styles: All styles, in the pattern's order.
        style: A style key; empty for all.
    """
    return style_pen(PENS[role], styles, style) if role in _BY_STYLE else PENS[role]


def style_pen(pen: Pen, styles: tuple[str, ...], style: str) -> Pen:
    """The pen of a line that belongs to some styles only: their dashes, one after the other.

    Args:
        pen: Of a line that all styles share.
        styles: All styles, in the pattern's order.
        style: A style key; empty for all.
    """
    if not style:
        return pen
    numbers = [styles.index(name) if name in styles else 0 for name in styles_in(style)]
    dashes = [STYLE_DASHES[number % len(STYLE_DASHES)] for number in numbers]
    return Pen(pen.width, pen.grey, tuple(length for dash in dashes for length in dash))
