"""Drawing -> SVG at true size, in millimetres."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from xml.sax.saxutils import escape, quoteattr

from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, rectangle
from tiler.pattern.segment import Cubic
from tiler.pattern.units import MM_PER_INCH, PT_PER_MM
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Words

#: A CSS inch is 96 pixels (CSS Values and Units Level 4, 6.2).
PX_PER_MM = 96 / MM_PER_INCH


def svg_bytes(page: Page, title: str) -> bytes:
    """A page as an SVG file whose user unit is the millimetre."""
    width, height = _number(page.width), _number(page.height)
    flip = Affine(1, 0, 0, -1, 0, page.height)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="\'Noto Sans\', sans-serif" '
        'stroke-linecap="round" stroke-linejoin="round">',
        f"<title>{escape(title)}</title>",
        *_items(page.items, flip, _paper_pen),
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode()


def screen_svg(drawing: Drawing, name: str) -> str:
    """A drawing as an element inside a web page: its user unit is the millimetre, y down.

    Lines are as wide on the screen as they are on paper, however large the drawing is shown. It
    says nothing to those who listen: the page has words for what it shows.

    Args:
        drawing: Its own coordinates stay, y turned over.
        name: Class of the element.
    """
    left, bottom, right, top = drawing.bounds
    box = " ".join(_number(v) for v in (left, -top, right - left, top - bottom))
    lines = _items(drawing.items, Affine(1, 0, 0, -1, 0, 0), _screen_pen)
    return (
        f'<svg class={quoteattr(name)} viewBox="{box}" aria-hidden="true" '
        f'stroke-linecap="round" stroke-linejoin="round">{"".join(lines)}</svg>'
    )


def svg_of(drawing: Drawing, title: str) -> bytes:
    """A drawing as an SVG file."""
    bounds = drawing.bounds
    moved = Group(drawing.items, at=Affine.move(-bounds.left, -bounds.bottom))
    return svg_bytes(Page("", bounds.width, bounds.height, (moved,)), title)


def svg_element(drawing: Drawing, title: str) -> str:
    """A drawing as an element within HTML; its title says what it shows."""
    lines = svg_of(drawing, title).decode().split("\n")
    # The first line is the XML declaration, which HTML has not.
    return "".join(lines[1:]).replace("<svg ", '<svg role="img" ', 1)


def _items(items: tuple[Item, ...], at: Affine, drawn: Callable[[Pen], str]) -> list[str]:
    lines: list[str] = []
    for item in items:
        if isinstance(item, Stroke):
            lines.append(f'<path d="{_data(item.paths, at)}" fill="none" {drawn(item.pen)}/>')
        elif isinstance(item, Fill):
            lines.append(f'<path d="{_data(item.paths, at)}" fill="{_grey(item.grey)}"/>')
        elif isinstance(item, Words):
            lines.append(_words(item, at))
        elif isinstance(item, Group):
            if item.window:
                lines.append(_clipped(item.window, at))
            if item.layers:
                lines.append(f"<g data-layer={quoteattr(' '.join(item.layers))}>")
            lines += _items(item.items, item.at.then(at) if item.at else at, drawn)
            if item.layers:
                lines.append("</g>")
            if item.window:
                lines.append("</g>")
        else:
            name = item.drawing.layer
            lines.append(f"<g data-layer={quoteattr(name)}>" if name else "<g>")
            lines += _items(item.drawing.items, item.at.then(at), drawn)
            lines.append("</g>")
    return lines


def _paper_pen(pen: Pen, scale: float = 1.0) -> str:
    dash = " ".join(_number(length * scale) for length in pen.dash)
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    return f'stroke="{_grey(pen.grey)}" stroke-width="{_number(pen.width * scale)}"{dashed}'


def _screen_pen(pen: Pen) -> str:
    return f'{_paper_pen(pen, PX_PER_MM)} vector-effect="non-scaling-stroke"'


def _clipped(window: Bounds, at: Affine) -> str:
    """A group that shows only what lies in a window; equal windows share a name."""
    data = _data((rectangle(window),), at)
    name = f"w{hashlib.md5(data.encode(), usedforsecurity=False).hexdigest()[:10]}"
    return f'<clipPath id="{name}"><path d="{data}"/></clipPath><g clip-path="url(#{name})">'


def _words(words: Words, at: Affine) -> str:
    x, y = at(words.at)
    turn = Affine.turn(words.turn).then(at)
    # Text stands upright in a y-down world: the flip is taken out of the letters' own frame.
    matrix = " ".join(_number(v, 6) for v in (turn.a, turn.b, -turn.c, -turn.d))
    weight = ' font-weight="bold"' if words.bold else ""
    return (
        f'<text transform="matrix({matrix} {_number(x)} {_number(y)})" '
        f'font-size="{_number(words.size_pt / PT_PER_MM)}" text-anchor="{words.anchor}" '
        f'fill="{_grey(words.grey)}"{weight}>{escape(words.text)}</text>'
    )


def _data(paths: tuple[Path, ...], at: Affine) -> str:
    parts = []
    for path in paths:
        start = at(path.start)
        parts.append(f"M{_number(start.x)} {_number(start.y)}")
        for segment in path.segments:
            points = " ".join(
                f"{_number(x)} {_number(y)}" for x, y in (at(point) for point in segment[1:])
            )
            parts.append(f"{'C' if isinstance(segment, Cubic) else 'L'}{points}")
        if path.closed:
            parts.append("Z")
    return "".join(parts)


def _grey(grey: float) -> str:
    level = round(grey * 255)
    return f"#{level:02x}{level:02x}{level:02x}"


def _number(value: float, places: int = 4) -> str:
    words = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words
