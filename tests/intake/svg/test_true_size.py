"""The size of a drawing's page.

What must hold: whatever unit, viewBox and preserveAspectRatio say, every line lies where an
independent renderer puts it; a size that nobody can know is refused with words that help.
"""

from __future__ import annotations

import pytest

from tiler.intake.svg import read_svg
from tiler.pattern.model import Severity

MARK = '<path d="M 10 10 H 45 V 22 L 30 40 H 10 Z"/>'

# Page sizes in millimetres by the definitions in CSS Values and Units, "absolute lengths":
# 1 in = 25.4 mm = 96 px = 72 pt = 6 pc = 101.6 Q.
SIZES = [
    ('width="100mm" height="80mm" viewBox="0 0 100 80"', 100, 80),
    ('width="10cm" height="8cm" viewBox="0 0 100 80"', 100, 80),
    ('width="4in" height="3in" viewBox="0 0 96 72"', 101.6, 76.2),
    ('width="288pt" height="216pt" viewBox="0 0 288 216"', 101.6, 76.2),
    ('width="24pc" height="18pc" viewBox="0 0 80 60"', 101.6, 76.2),
    ('width="384px" height="288px" viewBox="0 0 384 288"', 101.6, 76.2),
    ('width="384px" height="288px"', 101.6, 76.2),
    ('width="384" height="288" viewBox="0 0 96 72"', 101.6, 76.2),
    ('width="4in" height="3in"', 101.6, 76.2),
    ('width="100mm" viewBox="0 0 100 60"', 100, 60),
    ('height="60mm" viewBox="0 0 100 60"', 100, 60),
    ('width="auto" height="60mm" viewBox="0 0 100 60"', 100, 60),
    ('width=" +1e2mm " height=".8E2mm" viewBox="0,0,100,80"', 100, 80),
    ('width="100mm" height="80mm" viewBox="-5 -7.5 100 80"', 100, 80),
    ('width="100mm" height="80mm" viewBox="5 5 50 40"', 100, 80),
    ('width="100mm" height="80mm"', 100, 80),
]
#: resvg reads this spelling in another way than the standard, so it cannot judge it.
NOT_FOR_RESVG = {'width=" +1e2mm " height=".8E2mm" viewBox="0,0,100,80"'}


@pytest.mark.parametrize(("size", "width", "height"), SIZES)
def test_page_size_follows_the_definitions_of_the_units(read, size, width, height):
    sheet = read(MARK, size)
    assert sheet.width == pytest.approx(width, rel=1e-12)
    assert sheet.height == pytest.approx(height, rel=1e-12)
    assert sheet.name == "apron.svg"


@pytest.mark.parametrize("size", [s for s, _, _ in SIZES if s not in NOT_FOR_RESVG])
def test_lines_lie_where_resvg_puts_them(drawing, covers_the_ink, size):
    covers_the_ink(drawing(MARK, size))


def test_quarter_millimetres(read):
    """Q is 1/40 cm (CSS Values and Units); resvg does not know it and takes it for pixels."""
    sheet = read(MARK, 'width="400Q" height="320q" viewBox="0 0 100 80"')
    assert (sheet.width, sheet.height) == (100, 80)
    assert sheet.paths[0].path.bounds == (10, 40, 45, 70)


@pytest.mark.parametrize("align", ["Min", "Mid", "Max"])
@pytest.mark.parametrize("how", ["meet", "slice"])
@pytest.mark.parametrize(
    ("box", "shape"),
    [
        ("0 0 50 80", "M 5 5 H 45 V 75 L 25 40 L 5 75 Z"),
        ("0 0 100 40", "M 5 5 H 95 V 35 L 50 20 L 5 35 Z"),
    ],
)
def test_alignments_of_the_view_box(drawing, covers_the_ink, align, how, box, shape):
    size = 'width="100mm" height="80mm"'
    for down in ("Min", "Mid", "Max"):
        aspect = f'viewBox="{box}" preserveAspectRatio="x{align}Y{down} {how}"'
        sheet = covers_the_ink(drawing(f'<path d="{shape}"/>', f"{size} {aspect}"))
        assert (sheet.width, sheet.height) == (100, 80)


def test_stretched_to_fill(drawing, covers_the_ink):
    sheet = covers_the_ink(
        drawing(
            MARK, 'width="100mm" height="80mm" viewBox="0 0 50 80" preserveAspectRatio=" none "'
        )
    )
    assert [f.code for f in sheet.findings] == ["stretched"]


def test_default_alignment_is_the_middle(drawing, covers_the_ink):
    covers_the_ink(drawing(MARK, 'width="100mm" height="80mm" viewBox="0 0 50 80"'))


def test_y_points_up_from_the_lower_left(read):
    """A drawing of one unit to the millimetre keeps its numbers to the last digit."""
    path = read('<line x1="7" y1="11" x2="93" y2="79"/>').paths[0].path
    assert path.start == (7, 69)
    assert path.end == (93, 1)


@pytest.mark.parametrize(
    "size", ['width="384" height="288" viewBox="0 0 96 72"', 'width="384px" height="288px"']
)
def test_pixels_are_told(read, size):
    (finding,) = read(MARK, size).findings
    assert finding.code == "size-in-pixels"
    assert finding.severity is Severity.NOTE
    assert "101.6 mm wide and 76.2 mm high" in finding.text
    assert 'width="412mm"' in finding.text
    assert finding.where == "apron.svg, <svg> on line 1"


def test_css_size_of_the_root_counts_before_the_attribute(read):
    """SVG 2, 8.1: width and height are presentation attributes, so a style comes first."""
    sheet = read(MARK, 'width="10mm" style="width:100mm" height="80mm" viewBox="0 0 100 80"')
    assert sheet.width == 100


THREE_SPELLINGS = ('width="412mm"', 'width="41.2cm"', 'width="16.22in"')

UNKNOWN = [
    ("", "no width and no height"),
    ('viewBox="0 0 100 80"', "only a viewBox"),
    ('width="100%" height="100%" viewBox="0 0 100 80"', "depends on the window"),
    ('width="100mm" height="100%" viewBox="0 0 100 80"', "depends on the window"),
    ('width="100" height="80"', "no unit"),
    ('width="100mm" height="80"', "no unit"),
    ('width="100mm"', "no height"),
    ('height="80mm"', "no width"),
    ('style="width:100%" width="10mm" viewBox="0 0 1 1"', "depends on the window"),
]


@pytest.mark.parametrize(("size", "reason"), UNKNOWN)
def test_unknowable_sizes_are_refused(drawing, refused, size, reason):
    message = refused(drawing(MARK, size).encode(), "<svg> on line 1", reason, *THREE_SPELLINGS)
    assert "true size is not known" in message


ODD = [
    ('width="0mm" height="80mm" viewBox="0 0 1 1"', "width is 0 mm"),
    ('width="-4mm" height="80mm" viewBox="0 0 1 1"', "width is -4 mm"),
    ('width="101m" height="80mm" viewBox="0 0 1 1"', "unknown unit"),
    ('width="10100cm" height="80mm" viewBox="0 0 1 1"', "101 m"),
    ('width="1e-9mm" height="80mm" viewBox="0 0 1 1"', "1e-09 mm"),
    ('width="NaN" height="80mm" viewBox="0 0 1 1"', "not a length"),
    ('width="inf" height="80mm" viewBox="0 0 1 1"', "not a length"),
    ('width="1e999mm" height="80mm" viewBox="0 0 1 1"', "too large"),
    ('width="calc(1mm + 2mm)" height="80mm" viewBox="0 0 1 1"', "not a length"),
    ('width="10em" height="80mm" viewBox="0 0 1 1"', "depends on the font"),
    ('width="10mm" height="8ex" viewBox="0 0 1 1"', "depends on the font"),
    ('width="10rem" height="80mm" viewBox="0 0 1 1"', "depends on the font"),
    ('width="10vw" height="80mm" viewBox="0 0 1 1"', "depends on the window"),
    ('width="10mm" height="80mm" viewBox="0 0 0 1"', "no width or no height"),
    ('width="10mm" height="80mm" viewBox="0 0 4 -1"', "no width or no height"),
    ('width="10mm" height="80mm" viewBox="0 0 4"', "not four numbers"),
    ('width="10mm" height="80mm" viewBox="0 0 nan 1"', "not four numbers"),
    ('width="10mm" height="80mm" viewBox="0 0 1e400 1"', "too large"),
    ('width="10mm" height="8mm" viewBox="0 0 4 4" preserveAspectRatio="left"', "cannot be read"),
]


@pytest.mark.parametrize(("size", "reason"), ODD)
def test_sizes_that_cannot_be_meant_are_refused(drawing, refused, size, reason):
    refused(drawing(MARK, size).encode(), "<svg> on line 1", reason)


def test_lengths_in_the_drawing_are_never_of_the_font(drawing, refused):
    refused(
        drawing('\n<rect id="pocket" width="3em" height="2mm"/>').encode(),
        '<rect id="pocket"> on line 2',
        "depends on the font",
        "millimetres",
    )


def test_percentages_and_units_inside(drawing, covers_the_ink):
    """Per cent of the viewBox; a millimetre inside is 96/25.4 units (SVG 2, 8.9)."""
    covers_the_ink(drawing('<rect x="10%" y="25%" width="50%" height="10mm"/>'))
    covers_the_ink(drawing('<circle cx="50%" cy="50%" r="25%"/>'))
    covers_the_ink(
        drawing('<ellipse cx="2cm" cy="1in" rx="30pt" ry="2pc"/>', 'width="100mm" height="80mm"')
    )


def test_name_of_the_file_is_in_every_place():
    sheet = read_svg(
        b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" viewBox="0 0 9 9">'
        b"<text/></svg>",
        "hat.svg",
    )
    assert all(finding.where.startswith("hat.svg, <") for finding in sheet.findings)
    assert len(sheet.findings) == 2
