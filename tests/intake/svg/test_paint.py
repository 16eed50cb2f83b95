"""Lines without paint, and backgrounds.

What must hold: a line that no program would show, and of which the drawing does not say what it is
for, is left out and noted; so is a filled rectangle under the whole page. With a role each is kept.
resvg, which shares no code with the reader, says what would show.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
from PIL import Image

from tiler.intake.svg.cascade import Cascade
from tiler.intake.svg.notices import Notices
from tiler.intake.svg.xmltree import parse
from tiler.pattern.model import Role, Severity

# Style sheet, what the group says, what the path in it says.
SEEN = [
    ("", "", ""),
    ("", "", 'fill="none" stroke="#000"'),
    ("", "", 'fill="red" stroke="none"'),
    ("", 'fill="none"', 'stroke="black"'),
    ("", 'stroke="black"', 'fill="none"'),
    ("", 'fill="none" stroke="none"', 'stroke="black"'),
    ("", 'style="fill:none;stroke:none"', 'style="stroke:rgb(52,101,164)"'),
    ("", 'fill="none"', 'fill="#123456"'),
    (".a{fill:none} .a{stroke:blue}", "", ""),
    ("path{fill:none}", "", 'style="fill:red"'),
    ("", 'fill-opacity="0"', 'stroke="red"'),
    ("", 'stroke-opacity="0"', 'fill="red" stroke="red"'),
    ("", 'fill-opacity="0"', 'fill-opacity="1"'),
    ("", 'opacity="0.5"', 'opacity="0.9"'),
    ("", "", 'opacity="60%"'),
    ("", "", 'fill="none" stroke="currentColor"'),
    ("", 'fill="none" stroke="red"', 'stroke="inherit"'),
]
UNSEEN = [
    ("", "", 'fill="none"'),
    ("", "", 'fill="none" stroke="none"'),
    ("", 'fill="none"', ""),
    ("", 'fill="none" stroke="black"', 'stroke="none"'),
    ("", 'style="fill:none"', ""),
    ("", "", 'style="fill: NONE ; stroke : none"'),
    ("path{fill:none}", "", 'fill="red"'),
    ("g{fill:none}", "", ""),
    (".a{fill:none;stroke:none}", 'stroke="black"', ""),
    ("#p{stroke:none}", "", 'class="a" fill="none" stroke="red"'),
    ("", 'opacity="0"', 'stroke="black" opacity="1"'),
    ("", "", 'stroke="black" style="opacity:0"'),
    ("", "", 'stroke="black" opacity="0%"'),
    ("", "", 'stroke="black" fill-opacity="0" stroke-opacity="0"'),
    ("", 'fill-opacity="0" stroke-opacity="0"', 'stroke="black"'),
    ("", 'stroke-opacity="0"', 'fill="none" stroke="black"'),
    ("", "", 'fill="transparent"'),
    ("", "", 'fill="#00000000" stroke="transparent"'),
    ("", "", 'fill="rgba(9, 9, 9, 0)"'),
    ("", 'fill="none"', 'fill="inherit"'),
]
CASES = [
    *((case, True) for case in SEEN),
    *((case, False) for case in UNSEEN),
]
#: What resvg 0.48 reads in a simpler way than the standard.
NOT_FOR_RESVG = ("NONE",)


def _inside(css: str, group: str, path: str, between: str = "") -> str:
    return f'<style>{css}</style><g {group}><path id="p" {between} {path} d="M9 9h40v40z"/></g>'


@pytest.mark.parametrize(("case", "seen"), CASES)
def test_a_line_without_paint_is_left_out_and_noted(read, case, seen):
    css, group, path = case
    sheet = read(_inside(css, group, path if "class" in path else f'class="a" {path}'))
    assert len(sheet.paths) == seen
    assert [f.code for f in sheet.findings] == ([] if seen else ["unpainted"])
    assert all(f.severity is Severity.NOTE for f in sheet.findings)


@pytest.mark.parametrize(
    ("case", "seen"),
    [each for each in CASES if not any(mark in each[0][2] for mark in NOT_FOR_RESVG)],
)
def test_resvg_shows_what_is_kept_and_nothing_else(drawing, case, seen):
    css, group, path = case
    svg = drawing(_inside(css, group, path if "class" in path else f'class="a" {path}'))
    picture = Image.open(io.BytesIO(resvg_py.svg_to_bytes(svg_string=svg, dpi=96)))
    assert np.asarray(picture.convert("RGBA"))[..., 3].any() == seen


@pytest.mark.parametrize(("css", "group", "path"), UNSEEN)
@pytest.mark.parametrize("role", ["cut", "inside", "corner"])
def test_with_a_role_it_is_kept(read, css, group, path, role):
    sheet = read(_inside(css, group, path, f'data-role="{role}"'))
    assert len(sheet.paths) == 1
    assert sheet.findings == ()


@pytest.mark.parametrize("said", ['class="sttich"', 'class="style:narrow"'])
def test_with_a_style_or_a_misspelt_role_it_is_kept(read, said):
    assert len(read(f'<path {said} fill="none" d="M9 9h40"/>').paths) == 1


def test_paint_comes_to_a_copy_from_where_it_is_copied(read):
    inside = '<defs><g fill="none"><path id="q" d="M9 9h40v40z"/></g></defs><use href="#q"{}/>'
    assert len(read(inside.format("")).paths) == 1
    assert read(inside.format(' fill="none"')).paths == ()


@pytest.mark.parametrize(
    "css",
    [
        "path:not(.b){stroke:black}",
        "@media screen{path{stroke:black}}",
        "@import url('a.css');",
    ],
)
def test_nothing_is_left_out_when_its_paint_is_not_known(read, drawing, css):
    inside = f"<style>{css}</style>" + '<path fill="none" d="M9 9h40v40z"/>'
    tree = parse(drawing(inside).encode())
    assert not Cascade(tree, Notices()).paint_known
    assert len(read(inside).paths) == 1


def test_a_drawing_of_an_office_program(read):
    """Such programs write a box nobody sees, the fill, and the stroke once more."""
    d = "M 9500,22000 L 2000,22000 2000,2000 17000,2000 17000,22000 9500,22000 Z"
    sheet = read(
        '<g id="id3"><rect class="BoundingBox" stroke="none" fill="none" x="1999" y="1999"'
        f' width="15003" height="20003"/><path fill="rgb(114,159,207)" stroke="none" d="{d}"/>'
        f'<path fill="none" stroke="rgb(52,101,164)" d="{d}"/></g>',
        'width="210mm" height="297mm" viewBox="0 0 21000 29700"',
    )
    assert [path.path.bounds for path in sheet.paths] == [pytest.approx((20, 77, 170, 277))] * 2
    assert [f.code for f in sheet.findings] == ["unpainted"]


BACKGROUNDS = [
    '<rect width="100" height="80" fill="white"/>',
    '<rect width="100%" height="100%"/>',
    '<rect x="-5" y="-5" width="120" height="90" fill="#eee"/>',
    '<rect x=".4" y=".4" width="99.2" height="79.2" fill="white"/>',
    '<path d="M0 0H100V80H0Z" fill="white"/>',
    '<path d="M0 0H50H100V80H0V40Z" fill="white"/>',
    '<polygon points="0 0 0 80 100 80 100 0" fill="white" stroke="none"/>',
    '<g fill="white"><rect width="100" height="80" stroke="transparent"/></g>',
    '<rect width="80" height="100" transform="translate(100) rotate(90)"/>',
]


@pytest.mark.parametrize("background", BACKGROUNDS)
def test_a_background_is_left_out_and_noted(read, background):
    sheet = read(background + '<path d="M20 20H80V60H20Z" fill="none" stroke="black"/>')
    assert [path.path.bounds for path in sheet.paths] == [(20, 20, 80, 60)]
    (finding,) = sheet.findings
    assert (finding.code, finding.severity) == ("background", Severity.NOTE)
    assert finding.where.startswith("apron.svg, <")


@pytest.mark.parametrize(
    "shape",
    [
        '<rect width="100" height="80" stroke="black"/>',
        '<rect class="cut" width="100" height="80"/>',
        '<rect class="sttich" width="100" height="80"/>',
        '<rect x="1" width="99" height="80"/>',
        '<rect width="100" height="79.4"/>',
        '<rect width="100" height="80" rx="5"/>',
        '<path d="M10 0H100V80H0V10Z"/>',
        '<path d="M0 0H100V80H60V30H40V80H0Z"/>',
        '<path d="M0 0H100V80Q50 60 0 80Z"/>',
        '<path d="M0 0H100V80H0Z M20 20H80V60H20Z"/>',
        '<path d="M0 0H100V80H0"/>',
    ],
)
def test_other_shapes_are_no_background(read, shape):
    sheet = read(shape)
    assert sheet.paths
    assert "background" not in [f.code for f in sheet.findings]


def test_a_background_with_a_role_keeps_it(read):
    (path,) = read('<g class="cut"><rect width="100" height="80"/></g>').paths
    assert path.role is Role.CUT


def test_layers_without_anything_to_be_seen_are_known_with_the_reason(read):
    sheet = read(
        '<g id="a" display="none"><g inkscape:label="b"><path d="M0 0h9"/></g></g>'
        '<g id="c"><path d="M0 0h9" visibility="hidden"/></g>'
        '<g id="d" fill="none"><path d="M0 0h9"/></g>'
        '<g id="e"><rect width="100" height="80"/></g>'
        '<g id="f" class="ignore"><path d="M0 0h9"/></g>'
        '<g id="g"><path d="M0 0h9"/></g>'
    )
    assert {name: why.name for name, why in sheet.unseen.items()} == {
        "a": "HIDDEN",
        "b": "HIDDEN",
        "c": "HIDDEN",
        "d": "UNPAINTED",
        "e": "BACKGROUND",
        "f": "IGNORED",
    }
