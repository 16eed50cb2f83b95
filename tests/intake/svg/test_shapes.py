"""The basic shapes.

What must hold: they lie where an independent renderer puts them, rounded corners and left-out
attributes included; a shape without extent is nothing, one with a negative size is refused.
"""

from __future__ import annotations

import pytest

FILLED = [
    '<rect x="10" y="5" width="50" height="30"/>',
    '<rect width="50" height="30"/>',
    '<rect x="10" y="5" width="50" height="30" rx="8"/>',
    '<rect x="10" y="5" width="50" height="30" ry="8"/>',
    '<rect x="10" y="5" width="50" height="30" rx="12" ry="4"/>',
    '<rect x="10" y="5" width="50" height="30" rx="100" ry="4"/>',
    '<rect x="10" y="5" width="50" height="30" rx="100" ry="100"/>',
    '<rect x="10" y="5" width="50" height="30" rx="0" ry="9"/>',
    '<circle cx="40" cy="30" r="22.5"/>',
    '<circle r="22.5"/>',
    '<ellipse cx="40" cy="30" rx="22.5" ry="11"/>',
    '<ellipse cx="40" cy="30" rx="22.5" ry="11" transform="rotate(30 40 30)"/>',
    '<polygon points="10,10 60,15 40,50"/>',
    '<polygon points="10 10 60 15 40 50 10 10"/>',
    '<polygon points="  10-10 60,15,40 50 "/>',
]


@pytest.mark.parametrize("shape", FILLED)
def test_filled_shapes_agree_with_resvg(drawing, covers_the_ink, shape):
    sheet = covers_the_ink(drawing(shape))
    assert [p.path.closed for p in sheet.paths] == [True]


@pytest.mark.parametrize(
    "shape",
    [
        '<line x1="10" y1="10" x2="80" y2="45"/>',
        '<line x2="80" y2="45"/>',
        '<polyline points="10 10 80 15 40 60"/>',
    ],
)
def test_open_shapes_agree_with_resvg(drawing, covers_the_ink, shape):
    inside = f'<g fill="none" stroke="black" stroke-width="2">{shape}</g>'
    sheet = covers_the_ink(drawing(inside), stroke=2.0)
    assert [p.path.closed for p in sheet.paths] == [False]


def test_rectangles_begin_and_turn_as_the_standard_says(read):
    """SVG 2, 10.2: from the upper left to the right, so clockwise on paper."""
    path = read('<rect x="10" y="20" width="30" height="40"/>').paths[0].path
    assert list(path.nodes()) == [(10, 60), (40, 60), (40, 20), (10, 20), (10, 60)]
    assert path.area == -1200


def test_rounded_rectangle_has_the_right_area(read):
    """Width times height less the corners, (4 - pi) r^2."""
    path = read('<rect width="50" height="30" rx="10"/>').paths[0].path
    assert abs(path.area) == pytest.approx(1500 - (4 - 3.141592653589793) * 100, abs=62.9 * 0.01)


@pytest.mark.parametrize(
    "shape",
    [
        "<rect/>",
        '<rect width="5"/>',
        '<rect width="5" height="0"/>',
        "<circle/>",
        '<circle r="0"/>',
        '<ellipse rx="0" ry="4"/>',
        "<polygon/>",
        '<polyline points=" "/>',
        "<path/>",
    ],
)
def test_shapes_without_extent_are_nothing(read, shape):
    sheet = read(shape)
    assert sheet.paths == ()
    assert sheet.findings == ()


@pytest.mark.parametrize(
    ("shape", "name"),
    [
        ('<rect id="p" width="-5" height="4"/>', "width"),
        ('<rect id="p" width="5" height="4" rx="-1"/>', "rx"),
        ('<circle id="p" r="-1"/>', "r"),
        ('<ellipse id="p" rx="3" ry="-1"/>', "ry"),
    ],
)
def test_negative_sizes_are_refused(drawing, refused, shape, name):
    kind = shape[1:].split()[0]
    refused(
        drawing(shape).encode(),
        f'<{kind} id="p"> on line 1',
        f"its {name} is negative",
        "above zero",
    )


@pytest.mark.parametrize(
    "shape",
    ['<circle r="1e999"/>', '<rect width="NaN" height="1"/>', '<line x1="3 4"/>', '<circle r=""/>'],
)
def test_broken_numbers_are_refused(drawing, refused, shape):
    message = refused(drawing(shape).encode(), f"<{shape[1:].split()[0]}> on line 1")
    assert "number" in message
