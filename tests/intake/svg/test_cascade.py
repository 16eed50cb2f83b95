"""CSS: what shows, and where.

What must hold: style sheets, style attributes and presentation attributes win over one another in
the order of CSS Cascading 4, 6; visibility is inherited and display is not, but takes all with it.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
from PIL import Image

from tiler.pattern.model import Severity

PATH = '<path id="p" class="a b" d="M0 0h9"{}/>'

# What is left of one path: "shown" or "hidden".
CASES = [
    ("", ' display="none"', "hidden"),
    ("", ' style="display:none"', "hidden"),
    ("", ' style="display: NONE ;"', "hidden"),
    ("", ' display="none" style="display:inline"', "shown"),
    ("", ' display="inline" style="/* x */display/**/:none"', "hidden"),
    ("path{display:none}", "", "hidden"),
    ("path{display:none}", ' style="display:inline"', "shown"),
    ("path{display:none!important}", ' style="display:inline"', "hidden"),
    ("path{display:none!important}", ' style="display:inline!important"', "shown"),
    ("path{display:inline}", ' display="none"', "shown"),
    ("*{display:inline}", ' display="none"', "shown"),
    (".a{display:none} path{display:inline}", "", "hidden"),
    ("path{display:inline} .a{display:none}", "", "hidden"),
    ("#p{display:inline} .a.b{display:none}", "", "shown"),
    (".a{display:none} .b{display:inline}", "", "shown"),
    (".b{display:inline} .a{display:none}", "", "hidden"),
    ("path.a{display:none} .b{display:inline}", "", "hidden"),
    ("g path{display:none}", "", "hidden"),
    ("svg > g > path{display:none}", "", "hidden"),
    ("svg > path{display:none}", "", "shown"),
    ("rect + path{display:none}", "", "hidden"),
    ("circle + path{display:none}", "", "shown"),
    (":root path{display:none}", "", "hidden"),
    ("path:first-child{display:none}", "", "shown"),
    ("path:last-child{display:none}", "", "hidden"),
    ("path:hover{display:none}", "", "shown"),
    ("rect, path{display:none}", "", "hidden"),
    (".c{display:none}", "", "shown"),
    ("PATH{display:none}", "", "shown"),
    ("<!-- path{display:none} -->", "", "hidden"),
    ("/* path{display:none} */", "", "shown"),
    ("path{d\\69splay:none}", "", "hidden"),
    ("path{fill:red; {broken} display:none}", "", "hidden"),
    ("path{visibility:hidden}", "", "hidden"),
    ("g{visibility:hidden}", "", "hidden"),
    ("g{visibility:hidden} path{visibility:visible}", "", "shown"),
    ("g{visibility:hidden} path{visibility:inherit}", "", "hidden"),
    ("g{visibility:hidden} path{visibility:initial}", "", "shown"),
    ("g{visibility:collapse}", "", "hidden"),
    ("path{visibility:hidden; visibility:nonsense}", "", "hidden"),
    ("g{display:none} path{display:inline}", "", "hidden"),
]


@pytest.mark.parametrize(("css", "attributes", "outcome"), CASES)
def test_cascade(read, css, attributes, outcome):
    sheet = read(f'{_sheet(css)}<g><rect visibility="visible"/>{PATH.format(attributes)}</g>')
    assert len(sheet.paths) == (outcome == "shown")
    assert [f.code for f in sheet.findings] == (["hidden"] if outcome == "hidden" else [])


#: What resvg 0.48 reads in a simpler way than the standard, so that it cannot judge it: capital
#: letters, two important declarations, structural pseudo-classes, comment marks, parse errors.
NOT_FOR_RESVG = ("NONE", "inline!important", ":root", "-child", "<!--", "broken", "nonsense", "\\")


@pytest.mark.parametrize(
    ("css", "attributes", "outcome"),
    [case for case in CASES if not any(mark in case[0] + case[1] for mark in NOT_FOR_RESVG)],
)
def test_cascade_agrees_with_resvg(drawing, css, attributes, outcome):
    path = f'<path id="p" class="a b" d="M0 0h9v9z"{attributes}/>'
    svg = drawing(f'{_sheet(css)}<g><rect visibility="visible"/>{path}</g>')
    picture = Image.open(io.BytesIO(resvg_py.svg_to_bytes(svg_string=svg, dpi=96)))
    assert np.asarray(picture.convert("RGBA"))[..., 3].any() == (outcome == "shown")


def _sheet(css):
    return f"<style>{css.replace('<', '&lt;').replace('>', '&gt;')}</style>"


def test_hidden_elements_are_noted_once(read):
    sheet = read('<g display="none"><path d="M0 0h9"/></g>\n<path visibility="hidden" d="M0 0h9"/>')
    (finding,) = sheet.findings
    assert finding.severity is Severity.NOTE
    assert finding.code == "hidden"
    assert finding.where == "apron.svg, <g> on line 1"
    assert finding.text.startswith("2 ")


def test_a_hidden_root_shows_nothing(read):
    size = 'width="9mm" height="9mm" display="none"'
    assert read('<path d="M0 0h9"/>', size).paths == ()


def test_geometry_in_css_counts_before_attributes(read):
    """SVG 2, 8.1 "Geometry properties"."""
    sheet = read('<style>.b{r:5px}</style><circle class="b" cx="20" cy="20" r="9"/>')
    assert sheet.paths[0].path.bounds == pytest.approx((15, 55, 25, 65))


def test_cdata_and_several_sheets(read):
    sheet = read(
        "<style><![CDATA[ .a{display:none} ]]></style>"
        "<style type='text/css'>.b{display:none}</style>"
        '<path class="a" d="M0 0h9"/><path class="b" d="M0 0h9"/><path class="c" d="M0 0h9"/>'
    )
    assert len(sheet.paths) == 1


@pytest.mark.parametrize(
    "css",
    [
        "@media screen{path{display:none}}",
        "path:not(.b){display:none}",
        "path[class]{display:none}",
        "rect ~ path{display:none}",
        "path:nth-child(2){display:none}",
        ",{display:none}",
    ],
)
def test_rules_that_are_not_followed_are_told(read, css):
    sheet = read(f"<style>{css}</style>" + PATH.format(""))
    assert [f.code for f in sheet.findings] == ["style-rule"]
    assert "set display on the elements" in sheet.findings[0].text


@pytest.mark.parametrize(
    "css",
    [
        "path:not(.b){fill:red}",
        "@font-face{font-family:x}",
        "a:nth-child(2){stroke:none}",
        "}",
        "@charset 'x';",
    ],
)
def test_rules_about_looks_only_are_silent(read, css):
    sheet = read(f"<style>{css}</style>" + PATH.format(""))
    assert len(sheet.paths) == 1
    assert sheet.findings == ()


def test_other_media_and_languages_are_not_read(read):
    sheet = read(
        '<style media="speech">path{display:none}</style>'
        '<style type="text/x-other">path{display:none}</style>' + PATH.format("")
    )
    assert len(sheet.paths) == 1
    assert [f.code for f in sheet.findings] == ["style-rule"]


def test_form_in_css_is_told(read):
    sheet = read("<style>path{d:path('M0 0h50')}</style>" + PATH.format(""))
    assert sheet.paths == ()
    assert [f.code for f in sheet.findings] == ["css-path"]
