"""Damaged files.

What must hold: whatever bytes come in, the outcome is a drawn sheet or a DrawingError, never
another exception; and every number of a sheet is finite and within reach of the page.
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.intake.drawn import DrawnSheet
from tiler.intake.svg import limits, read_svg
from tiler.pattern.errors import DrawingError

SEEDS = [
    b"""<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"
 xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="412mm" height="730mm"
 viewBox="0 0 412 730" preserveAspectRatio="xMidYMin slice">
<style>.a{display:none} g > path.b{visibility:hidden !important} @import "x.css";
path:first-child{transform:translate(1px,2mm) rotate(3deg)}</style>
<defs><path id="p" d="M1 1h9"/><symbol id="s" viewBox="0 0 9 9"><use href="#p"/></symbol></defs>
<g inkscape:label="cut" id="layer1" transform="matrix(1 0 0 1 2 3)">
<path class="a st0" d="M10 10 L 20,20 H5 v-3 c1 2 3 4 5 6 S 1 2 3 4 q1,1 2 2 t3 3 A5 6 7 0 1 8 9z"/>
<path data-role="stitch style:narrow" d="m1e1.5-.5+3 4 5 z m3 3l4 4"/></g>
<rect x="1" y="2mm" width="10%" height="3cm" rx="2"/><circle r="5" cx="3Q"/>
<ellipse rx="3" ry="4pt"/><line x2="9" y2="9"/><polyline points="1,2 3,4 5,6"/>
<polygon points="1 2 3 4 5 6"/><use xlink:href="#s" width="30" height="20" x="5"/>
<svg x="1" width="50%" viewBox="0 0 5 5"><g id="notch" style="visibility:visible"><path d="M0 0h5"/>
</g></svg><text>x</text><switch><g systemLanguage="de"/><path d="M0 0h3"/></switch></svg>""",
    b'<svg width="9in" viewBox="0 0 9 9"><path d="M0 0A1 2 3 0 0 4 5Q1 2 3 4T5 6z"/></svg>',
]

#: Pieces that change the meaning more than single bytes do.
SPLICES = [
    *(b"<", b">", b"/>", b'"', b"&", b"&lt;", b"&#0;", b"&#x10FFFF;", b"<g>", b"</g>", b"<!--"),
    *(b"-->", b"<![CDATA[", b"]]>", b"<!DOCTYPE", b"<?x?>", b"\x00", b"\xff", b"\xef\xbb\xbf"),
    *(b"1e999", b"-1", b"0", b"NaN", b"1e-320", b"9" * 30, b"%", b"em", b"\xc3\xa4", b"\\"),
    *(b"none", b"inherit", b"#", b"#p", b"#s", b"#layer1", b"url(#p)", b"(", b")", b"{", b"}"),
    *(b"!important", b"*", b":not(", b"display:none", b"rotate(", b"scale(0)", b'id="p"'),
    *(b'href="#s"', b'class="', b"data-role="),
]

_EDITS = st.lists(
    st.tuples(
        st.floats(0, 1), st.integers(0, 30), st.sampled_from(SPLICES) | st.binary(max_size=6)
    ),
    min_size=1,
    max_size=6,
)


def _check(content: bytes) -> None:
    try:
        sheet = read_svg(content, "damaged.svg")
    except DrawingError as error:
        refusal = error
    else:
        _check_sheet(sheet)
        return
    assert str(refusal).startswith("damaged.svg")
    assert refusal.remedy
    assert len(str(refusal)) < 600


def _check_sheet(sheet: DrawnSheet) -> None:
    assert min(sheet.width, sheet.height) >= limits.SMALLEST_PAGE
    assert max(sheet.width, sheet.height) <= limits.REACH
    for drawn in sheet.paths:
        for segment in drawn.path.segments:
            assert all(abs(v) <= limits.REACH + 1 for point in segment for v in point)
        assert drawn.path.closed == (drawn.path.start == drawn.path.end)
    assert all(finding.text and finding.where for finding in sheet.findings)


def test_the_seeds_are_sound():
    for seed in SEEDS:
        assert read_svg(seed, "seed.svg").paths


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(SEEDS), _EDITS)
def test_damaged_drawings(seed, edits):
    content = bytearray(seed)
    for share, length, splice in edits:
        position = int(share * len(content))
        content[position : position + length] = splice
    _check(bytes(content))


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(SEEDS), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_parts_moved_about(seed, start, end, to):
    low, high = sorted((int(start * len(seed)), int(end * len(seed))))
    part, rest = seed[low:high], seed[:low] + seed[high:]
    position = int(to * len(rest))
    _check(rest[:position] + part + rest[position:])


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes(content):
    _check(content)
    _check(b"<svg width='9mm' height='9mm'>" + content + b"</svg>")


_NAMES = [
    *("d", "points", "transform", "transform-origin", "style", "class", "data-role", "id", "href"),
    *("width", "x", "r", "viewBox", "preserveAspectRatio", "display"),
]
_TEXT = st.text(
    st.characters(
        codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="<&\"'\ufffe\uffff"
    ),
    max_size=40,
)


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(_NAMES),
    _TEXT
    | st.text("MmLlHhVvCcSsQqTtAaZz0123456789.,+-eE ", max_size=60)
    | st.text("(){}[];:!*/\\'#.,>+~ adisplynohet-", max_size=60),
)
def test_any_attribute(name, value):
    value = value.replace("&", "").replace('"', "").replace("<", "")
    for kind in ("path", "g", "rect", "polygon", "circle", "use", "svg"):
        _check(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm">'
            f'<{kind} {name}="{value}"><path d="M0 0h5"/></{kind}></svg>'.encode()
        )


@settings(max_examples=300, deadline=None)
@given(_TEXT | st.text("(){}[];:!*/\\#.,>+~@ adisplynohet-gp\n", max_size=80))
def test_any_style_sheet(css):
    _check(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><style>{css}'
        f'{{display:none}} {css}</style><g id="a"><path class="p" d="M0 0h5"/></g></svg>'.encode()
    )
