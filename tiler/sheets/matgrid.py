"""The known grid: what the projector shows to be measured on the mat."""

from __future__ import annotations

from tiler.layout.mats.grid import GRID_INSET, grid_corners_px
from tiler.layout.mats.mat import Mat
from tiler.sheets.drawing import Item, Page
from tiler.sheets.matmarks import BLACK, FAINT, SOFT, WHITE, Screen
from tiler.sheets.screen import block, page_size
from tiler.sheets.words import say

#: All for a picture of 1920 x 1080, in pixels: the squares, sizes of type, what is left free beside
#: a line and between paragraphs; and the width of the two panels as shares of the picture's.
_SQUARE = 80
_NAME, _TEXT, _TITLE = 38, 26, 34
_BESIDE, _APART = 42, 26
_ABOVE, _BELOW = 0.37, 0.285


def grid_page(mat: Mat) -> Page:
    """The grid as a page, light on black.

    A bold rectangle `GRID_INSET` pixels inside the border, with a ringed cross at each corner and
    in the middle of each side, the names of the eight lengths along them, squares of one size,
    stripes to focus by, what to do, and the caution.
    """
    screen = Screen(mat.width_px, mat.height_px)
    width, height = page_size(mat.width_px, mat.height_px)
    items: list[Item] = [block(-1, -1, mat.width_px + 1, mat.height_px + 1, mat.height_px, BLACK)]
    items += _lines(screen)
    items += _texts(screen, mat.name)
    items += _names(screen)
    items += _stripes(screen)
    return Page(f"grid of {mat.name}", width, height, tuple(items))


def _lines(screen: Screen) -> list[Item]:
    wide, tall = screen.width, screen.height
    left, top, right, bottom = GRID_INSET, GRID_INSET, wide - GRID_INSET, tall - GRID_INSET
    middle, level = wide / 2, tall / 2
    items: list[Item] = []
    square = screen.px(_SQUARE)
    for step in range(square, max(wide, tall) // 2, square):
        for x in (middle - step, middle + step):
            if left < x < right:
                items.append(screen.line(x, top, x, bottom, 2, FAINT))
        for y in (level - step, level + step):
            if top < y < bottom:
                items.append(screen.line(left, y, right, y, 2, FAINT))
    items.append(screen.line(left, level, right, level, 2, SOFT))
    items.append(screen.line(middle, top, middle, bottom, 2, SOFT))
    items.append(screen.line(left, bottom, right, top, 2, SOFT))
    items.append(screen.line(left, top, right, bottom, 2, SOFT))
    bold = screen.even(6)
    for ax, ay, bx, by in (
        (left, bottom, right, bottom),
        (right, bottom, right, top),
        (right, top, left, top),
        (left, top, left, bottom),
    ):
        items.append(screen.line(ax, ay, bx, by, bold, WHITE))
    for x, y in (
        *grid_corners_px(wide, tall),
        (middle, top),
        (middle, bottom),
        (left, level),
        (right, level),
    ):
        items.extend(screen.cross(x, y))
    return items


def _names(screen: Screen) -> list[Item]:
    """Each length's name, upright, on the line or just inside it."""
    size, free = screen.px(_NAME), screen.px(_BESIDE)
    left, right = GRID_INSET, screen.width - GRID_INSET
    high, low = GRID_INSET, screen.height - GRID_INSET
    wide, tall = right - left, low - high
    capitals = 0.714 * size
    side, on_side = 0.2 * wide, high + 0.39 * tall
    crossing = 0.245
    on_diagonal = low - crossing * tall - capitals / 2
    items: list[Item] = []
    for key, x, y, anchor in (
        ("grid_lower", left + side, low - free - capitals, "middle"),
        ("grid_right", right - free, on_side, "end"),
        ("grid_upper", right - side, high + free, "middle"),
        ("grid_left", left + free, on_side, "start"),
        ("grid_rising", left + crossing * wide, on_diagonal, "middle"),
        ("grid_falling", right - crossing * wide, on_diagonal, "middle"),
        ("grid_middle_level", left + side, screen.height / 2 - capitals / 2, "middle"),
        ("grid_middle_upright", screen.width / 2, high + 0.6 * tall, "middle"),
    ):
        drawn, _ = screen.words(say(key), x, y, size, anchor=anchor, bold=True)
        items.extend(drawn)
    return items


def _texts(screen: Screen, name: str) -> list[Item]:
    """What to do, in the upper part, and the caution, in the lower part."""
    heading = say("grid_title", name=name, width=screen.width, height=screen.height)
    above = (
        (heading, _TITLE, True),
        (say("grid_ready"), _TEXT, False),
        (say("grid_measure"), _TEXT, False),
        (say("grid_next", name=f'"{name}"' if " " in name else name), _TEXT, True),
    )
    below = ((say("grid_care_title"), _TEXT, True), (say("grid_care"), _TEXT, False))
    high = GRID_INSET + screen.px(64)
    _, foot = _panel(screen, below, 0, _BELOW)
    low = screen.height - GRID_INSET - screen.px(52) - foot
    return [*_panel(screen, above, high, _ABOVE)[0], *_panel(screen, below, low, _BELOW)[0]]


def _panel(
    screen: Screen, texts: tuple[tuple[str, int, bool], ...], top: float, share: float
) -> tuple[list[Item], float]:
    """Paragraphs below one another on free ground, and the y of their foot."""
    middle, most = screen.width / 2, screen.width * share
    items: list[Item] = []
    y = top
    for words, of_1080, bold in texts:
        size = screen.px(of_1080)
        drawn, y = screen.words(words, middle, y, size, most=most, bold=bold)
        items.extend(drawn)
        foot, y = y, y + screen.px(_APART)
    free, half = screen.px(12), most / 2 + screen.px(12)
    ground = block(
        round(middle - half),
        round(top - free),
        round(middle + half),
        round(foot + free),
        screen.height,
        BLACK,
    )
    return [ground, *items], foot


def _stripes(screen: Screen) -> list[Item]:
    """Patches to focus by: one near each corner, and one towards the middle."""
    across, down = GRID_INSET + screen.px(150), GRID_INSET + screen.px(225)
    right, low = screen.width - across, screen.height - down
    places = (
        (across, down),
        (right, down),
        (across, low),
        (right, low),
        (round(screen.width * 0.7), screen.height // 2),
    )
    return [item for x, y in places for item in screen.stripes(x, y)]
