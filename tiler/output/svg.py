"""Drawing -> SVG at true size, in millimetres."""

from __future__ import annotations

import hashlib
from xml.sax.saxutils import escape, quoteattr

from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, rectangle
from tiler.pattern.segment import Cubic
from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Fill, Group, Item, Page, Stroke, Words


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
        *_items(page.items, flip),
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode()


def _items(items: tuple[Item, ...], at: Affine) -> list[str]:
    lines: list[str] = []
    for item in items:
        if isinstance(item, Stroke):
            pen = item.pen
            dash = f' stroke-dasharray="{" ".join(map(_number, pen.dash))}"' if pen.dash else ""
            lines.append(
                f'<path d="{_data(item.paths, at)}" fill="none" stroke="{_grey(pen.grey)}" '
                f'stroke-width="{_number(pen.width)}"{dash}/>'
            )
        elif isinstance(item, Fill):
            lines.append(f'<path d="{_data(item.paths, at)}" fill="{_grey(item.grey)}"/>')
        elif isinstance(item, Words):
            lines.append(_words(item, at))
        elif isinstance(item, Group):
            if item.window:
                lines.append(_clipped(item.window, at))
            if item.layers:
                lines.append(f"<g data-layer={quoteattr(' '.join(item.layers))}>")
            lines += _items(item.items, item.at.then(at) if item.at else at)
            if item.layers:
                lines.append("</g>")
            if item.window:
                lines.append("</g>")
        else:
            name = item.drawing.layer
            lines.append(f"<g data-layer={quoteattr(name)}>" if name else "<g>")
            lines += _items(item.drawing.items, item.at.then(at))
            lines.append("</g>")
    return lines


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
