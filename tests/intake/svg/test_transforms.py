"""Transforms.

What must hold: nested transforms, as attribute and as CSS property, put the lines where an
independent renderer puts them; what cannot be read is refused, never skipped.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Matrix

from tiler.intake.svg.transforms import read_transform
from tiler.intake.svg.xmltree import Node

SHAPE = '<path d="M 2 2 H 18 V 10 L 10 16 H 2 Z"/>'

DRAWN = [
    "translate(30)",
    "translate(30,20)",
    "translate(30-2)",
    "scale(2)",
    "scale(2 3)",
    "translate(40 40) scale(-1, 1)",
    "translate(40) rotate(30)",
    "rotate(45 30 20)",
    "rotate(-90 40 40)",
    "skewX(30)",
    "skewY(20)",
    "matrix(1.5 .3 -.2 1.2 10 5)",
    "translate(20,10),rotate(15)\n\tscale(1.5)",
    "  scale( 2 , 2 )  ",
    "translate(1e1 .5e1)",
]


@pytest.mark.parametrize("transform", DRAWN)
def test_attribute_agrees_with_resvg(drawing, covers_the_ink, transform):
    covers_the_ink(drawing(f'<g transform="{transform}">{SHAPE}</g>'))


def test_nested_transforms_agree_with_resvg(drawing, covers_the_ink):
    inside = (
        '<g transform="translate(50 30)"><g transform="rotate(25)"><g transform="scale(1.5 .8)">'
        '<path transform="skewX(15) translate(-8 -8)" d="M2 2H18V10L10 16H2Z"/></g></g></g>'
    )
    covers_the_ink(drawing(inside))


def test_open_lines_agree_with_resvg(drawing, covers_the_ink):
    inside = (
        '<g fill="none" stroke="black" stroke-width="2" transform="rotate(20 50 40) scale(1.5)">'
        '<line x1="5" y1="10" x2="50" y2="20"/><polyline points="10,30 30,45 50,30"/>'
        '<path d="M 10 50 C 30 20, 40 60, 55 35"/></g>'
    )
    covers_the_ink(drawing(inside), stroke=3.0)


# CSS Transforms 1: the property has units and lies on the same matrices. resvg reads attributes
# only, so the attribute with the same meaning is what each must agree with.
SAME = [
    ("translate(10px, 20px)", "translate(10 20)"),
    ("translateX(1in) translateY(1pc)", "translate(96 16)"),
    ("rotate(0.25turn)", "rotate(90)"),
    ("rotate(100grad)", "rotate(90)"),
    ("rotate(1rad)", f"rotate({180 / math.pi})"),
    ("ROTATE(30DEG)", "rotate(30)"),
    ("scaleX(2) scaleY(3)", "scale(2 3)"),
    ("skew(10deg)", "skewX(10)"),
    ("none", ""),
]


@pytest.mark.parametrize(("css", "attribute"), SAME)
def test_css_property_means_the_same_as_the_attribute(read, css, attribute):
    by_css = read(f'<g style="transform: {css}">{SHAPE}</g>').paths[0].path
    by_attribute = read(f'<g transform="{attribute}">{SHAPE}</g>').paths[0].path
    for one, other in zip(by_css.nodes(), by_attribute.nodes(), strict=True):
        assert one.to(other) < 1e-9


def test_css_property_comes_before_the_attribute(read):
    path = read('<path transform="scale(9)" style="transform:scale(2)" d="M0 0h5"/>').paths[0].path
    assert path.length == pytest.approx(10)


def test_origin_of_two_lengths(drawing, covers_the_ink):
    inside = f'<g transform="rotate(30)" transform-origin="20 30">{SHAPE}</g>'
    covers_the_ink(drawing(inside))


BROKEN = [
    ("rotate(30", "cannot be read"),
    ("rotate(30) bogus", "cannot be read"),
    ("spin(30)", "unknown function spin()"),
    ("rotate3d(1,0,0,30deg)", "unknown function"),
    ("rotate(30 10)", "wrong numbers in rotate()"),
    ("matrix(1 0 0 1 0)", "wrong numbers in matrix()"),
    ("scale()", "wrong numbers in scale()"),
    ("scale(NaN)", "wrong numbers in scale()"),
    ("scale(1,,2)", "wrong numbers in scale()"),
    ("scale(2px)", "unit that cannot be used in scale()"),
    ("translate(10%)", "unit that cannot be used in translate()"),
    ("translate(2em)", "unit that cannot be used in translate()"),
    ("scale(0)", "squeezes the drawing to nothing"),
    ("scale(1 0)", "squeezes the drawing to nothing"),
    ("skewX(45) matrix(1 1 1 1 0 0)", "squeezes the drawing to nothing"),
    ("scale(1e300)", "too large"),
    ("scale(1e999)", "too large"),
    ("translate(1e999) scale(0.1)", "too large"),
    ("rotate(1e999)", "too large"),
]


@pytest.mark.parametrize(("transform", "reason"), BROKEN)
def test_what_cannot_be_followed_is_refused(drawing, refused, transform, reason):
    inside = f'\n<g id="leg" transform="{transform}">{SHAPE}</g>'
    refused(drawing(inside).encode(), '<g id="leg"> on line 2', reason, "apply the transform")


@pytest.mark.parametrize("origin", ["center", "50% 50%", "left top", "3px", "1 2 3 4"])
def test_other_origins_are_refused(drawing, refused, origin):
    inside = f'<g transform="rotate(9)" transform-origin="{origin}">{SHAPE}</g>'
    refused(drawing(inside).encode(), "<g> on line 1", "transform-origin", "lengths")


@pytest.mark.parametrize("style", ["rotate:30deg", "scale:2", "translate:10px", "zoom:3"])
def test_single_css_properties_are_refused(drawing, refused, style):
    inside = f'<g style="{style}">{SHAPE}</g>'
    refused(drawing(inside).encode(), "<g> on line 1", style.split(":")[0], "transform")


def test_transform_of_the_root_is_refused(drawing, refused):
    content = drawing(SHAPE, 'width="9mm" height="9mm" transform="scale(2)"').encode()
    refused(content, "<svg> on line 1", "Put the transform on a <g>")


_NUMBER = st.floats(-50, 50).filter(lambda v: abs(v) > 0.01).map(lambda v: round(v, 3))
_CALLS = st.one_of(
    st.tuples(_NUMBER, _NUMBER).map(lambda v: f"translate({v[0]} {v[1]})"),
    st.tuples(_NUMBER, _NUMBER).map(lambda v: f"scale({v[0]},{v[1]})"),
    st.tuples(_NUMBER, _NUMBER, _NUMBER).map(lambda v: f"rotate({v[0]} {v[1]} {v[2]})"),
    st.floats(-80, 80).map(lambda v: f"skewX({round(v, 2)})"),
    st.floats(-80, 80).map(lambda v: f"skewY({round(v, 2)})"),
)


@given(st.lists(_CALLS, min_size=1, max_size=4))
def test_lists_agree_with_svgelements(calls):
    """svgelements multiplies matrices by code of its own."""
    text = " ".join(calls)
    other = Matrix(text)
    if abs(other.determinant) < 1e-9 or max(map(abs, _six(other))) > 1e8:
        return
    ours = read_transform(Node("g", {}, 1, "g"), text)
    scale = max(1.0, *map(abs, ours))
    for one, two in zip(ours, _six(other), strict=True):
        assert one == pytest.approx(two, abs=1e-9 * scale)


def _six(matrix: Matrix) -> tuple[float, ...]:
    return tuple(float(v) for v in (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f))
