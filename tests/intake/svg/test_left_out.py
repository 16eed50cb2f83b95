"""What cannot be put on paper as a line.

What must hold: each kind is told once, with a count and the first element's place, and the lines
round it are read all the same.
"""

from __future__ import annotations

import pytest

from tiler.pattern.model import Severity

LINE = '<path d="M0 0h9"/>'

KINDS = {
    "text": "<text>Front</text>",
    "image": '<image href="tracing.jpg" width="5" height="5"/>',
    "foreign-object": "<foreignObject><p>Front</p></foreignObject>",
    "unknown-element": "<blob/>",
    "clip-path": '<g clip-path="url(#c)"/>',
    "mask": '<g style="mask:url(#m)"/>',
    "filter": '<g filter="blur(2px)"/>',
    "marker": '<path d="M0 0h1" marker-end="url(#m)"/>',
    "paint": '<rect width="4" height="4" fill="url(#g)"/>',
    "script": "<script>alert(1)</script>",
    "animation": '<rect width="4" height="4"><animate attributeName="x" to="9"/></rect>',
    "switch": '<switch><rect width="4" height="4"/></switch>',
    "conditional": '<rect width="4" height="4" systemLanguage="de"/>',
    "external-use": '<use href="other.svg#hem"/>',
    "external-style": "<style>@import url('other.css');</style>",
}


@pytest.mark.parametrize(("code", "inside"), KINDS.items(), ids=KINDS.keys())
def test_each_kind_is_told_once(read, code, inside):
    sheet = read(f"{LINE}\n{inside}\n{inside}\n{LINE}")
    (finding,) = sheet.findings
    assert finding.code == code
    assert finding.severity is Severity.WARNING
    assert "on line 2" in finding.where
    assert finding.where.startswith("apron.svg, <")
    assert finding.text.startswith("2 ")
    assert sum(p.path.length == 9 for p in sheet.paths) == 2


def test_what_is_outside_is_named(read):
    sheet = read(
        '<use href="http://example.org/a.svg#b"/><image xlink:href="file:///etc/hosts"/>'
        "<style>@import 'http://example.org/a.css';</style><image href='data:image/png;base64,AA'/>"
    )
    told = {f.code: f.text for f in sheet.findings}
    assert "http://example.org/a.svg#b" in told["external-use"]
    assert "file:///etc/hosts" in told["image"]
    assert "http://example.org/a.css" in told["external-style"]
    assert "not opened" in told["image"]


def test_style_sheet_instruction(drawing):
    from tiler.intake.svg import read_svg

    content = '<?xml version="1.0"?>\n<?xml-stylesheet href="a.css"?>\n' + drawing(LINE)
    sheet = read_svg(content.encode(), "apron.svg")
    assert [(f.code, f.where) for f in sheet.findings] == [("external-style", "apron.svg, line 2")]


def test_things_of_editors_are_silent(read):
    sheet = read(
        "<title>Apron</title><desc>Front</desc><metadata><x/></metadata><view id='v'/>"
        '<x:namedview xmlns:x="http://example.org/x"><x:grid/></x:namedview>'
        "<defs><linearGradient id='g'/><clipPath id='c'><rect/></clipPath></defs>" + LINE
    )
    assert len(sheet.paths) == 1
    assert sheet.findings == ()


def test_none_is_not_left_out(read):
    inside = (
        '<path d="M0 0h9" clip-path="none" mask="none" filter="none" marker-end="none" fill="none"'
        ' style="marker:none;filter:none;stroke:#000"/>'
    )
    assert read(inside).findings == ()


def test_hidden_things_are_not_told_one_by_one(read):
    sheet = read('<g display="none"><text>x</text><image href="a"/></g>')
    assert [f.code for f in sheet.findings] == ["hidden"]
