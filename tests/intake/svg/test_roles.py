"""Which line means what.

What must hold: the nearest statement wins, role and style each on their own; a wrong data-role is
refused, a class or layer name that looks like a slip is told, all other words are the editor's own.
"""

from __future__ import annotations

import pytest

from tiler.pattern.model import Role

D = 'd="M0 0h9"'


def _only(sheet):
    (drawn,) = sheet.paths
    return drawn.role, drawn.style


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize(
    "inside",
    [
        '<path class="{}" d="M0 0h9"/>',
        '<path class="st0 {} other" d="M0 0h9"/>',
        '<path data-role="{}" d="M0 0h9"/>',
        '<path inkscape:label="{}" d="M0 0h9"/>',
        '<g class="{}"><path d="M0 0h9"/></g>',
        '<g data-role="{}"><g><path d="M0 0h9"/></g></g>',
        '<g inkscape:label="{}" id="layer1"><path d="M0 0h9"/></g>',
        '<g id="{}"><path d="M0 0h9"/></g>',
        '<g id="{}-2"><path d="M0 0h9"/></g>',
        '<g id="{}_1_"><path d="M0 0h9"/></g>',
        '<svg class="{}" overflow="visible"><path d="M0 0h9"/></svg>',
        '<a class="{}"><path d="M0 0h9"/></a>',
        '<defs><path id="p" d="M0 0h9"/></defs><use class="{}" href="#p"/>',
        '<defs><g id="p" class="{}"><path d="M0 0h9"/></g></defs><use href="#p"/>',
    ],
)
def test_every_way_to_say_a_role(read, inside, role):
    sheet = read(inside.format(role.value))
    assert _only(sheet) == (role, "")
    assert sheet.findings == ()


def test_capitals_do_not_matter(read):
    assert _only(read(f'<g inkscape:label="Cut"><path {D}/></g>')) == (Role.CUT, "")
    assert _only(read(f'<path class="FOLD" {D}/>')) == (Role.FOLD, "")


NEAREST = [
    ('<g class="cut"><path class="stitch" {}/></g>', Role.STITCH, ""),
    ('<g class="cut"><g class="stitch"><path {}/></g></g>', Role.STITCH, ""),
    ('<g class="style:narrow"><path class="cut" {}/></g>', Role.CUT, "narrow"),
    ('<g class="cut"><path class="style:narrow" {}/></g>', Role.CUT, "narrow"),
    ('<g class="style:wide"><g class="style:narrow cut"><path {}/></g></g>', Role.CUT, "narrow"),
    ('<g class="cut style:narrow"><path class="inside" {}/></g>', Role.INSIDE, "narrow"),
    ('<g data-role="style:Wide"><path {}/></g>', None, "Wide"),
    ('<path data-role="cut style:narrow" {}/>', Role.CUT, "narrow"),
    ('<path data-role="cut" class="stitch style:x" {}/>', Role.CUT, "x"),
    ('<path class="cut" inkscape:label="stitch" {}/>', Role.CUT, ""),
    ('<g inkscape:label="cut" id="stitch"><path {}/></g>', Role.CUT, ""),
    ('<g inkscape:label="cut style:narrow"><path {}/></g>', Role.CUT, "narrow"),
    ('<g id="cut_style_x3A_narrow"><path {}/></g>', Role.CUT, "narrow"),
    ('<g class="ignore"><path class="cut" {}/></g>', Role.CUT, ""),
    ('<path id="cut" {}/>', None, ""),
    ('<path class="st0" {}/>', None, ""),
]


@pytest.mark.parametrize(("inside", "role", "style"), NEAREST)
def test_nearest_statement_wins(read, inside, role, style):
    assert _only(read(inside.format(D))) == (role, style)


def test_role_of_the_root(read):
    size = 'class="stitch style:narrow" width="9mm" height="9mm"'
    assert _only(read(f"<path {D}/>", size)) == (Role.STITCH, "narrow")


def test_ignored_lines_are_left_out_without_a_word(read):
    sheet = read(
        f'<g class="ignore"><path {D}/><image href="tracing.jpg"/><text>old</text>'
        '<rect width="4" height="4" filter="url(#f)"/></g>'
        f'<path class="ignore" {D}/>'
    )
    assert sheet.paths == ()
    assert sheet.findings == ()


def test_corner_marks_have_no_role(read):
    sheet = read('<g class="cut"><circle class="corner" cx="5" cy="5" r=".5"/></g>')
    assert sheet.paths[0].corner
    assert sheet.paths[0].role is None
    assert not read(f'<path class="cut" {D}/>').paths[0].corner


def test_layers_from_the_outside_in(read):
    inside = f'<g id="a" inkscape:label="Front"><g><g id="b"><path id="p" {D}/></g></g></g>'
    assert read(inside).paths[0].layers == ("a", "Front", "b")


@pytest.mark.parametrize(
    ("word", "near"),
    [
        ("sttich", "stitch"),
        ("notches", "notch"),
        ("Drlil", "drill"),
        ("grainn", "grain"),
        ("style-narrow", "style:narrow"),
        ("style:", "style:NAME"),
    ],
)
def test_slips_in_data_role_are_refused_with_a_hint(drawing, refused, word, near):
    content = drawing(f'\n<path id="hem" data-role="{word}" {D}/>').encode()
    refused(content, '<path id="hem"> on line 2', word, f'Did you mean "{near}"?')


def test_unknown_data_role_names_all_roles(drawing, refused):
    content = drawing(f'<g data-role="banana"><path {D}/></g>').encode()
    message = refused(
        content,
        "<g> on line 1",
        "banana",
        "cut, stitch, fold, grain, notch, dart, drill, button, buttonhole, pocket, inside, corner, "
        "ignore, style:NAME",
    )
    assert "Did you mean" not in message


@pytest.mark.parametrize(
    "said", ['class="cut stitch"', 'data-role="cut, fold"', 'class="style:a style:b"']
)
def test_two_roles_at_once_are_refused(drawing, refused, said):
    refused(drawing(f"<path {said} {D}/>").encode(), "<path> on line 1", "says both", "Keep one")


SLIPS = [
    ("sttich", "stitch"),
    ("notches", "notch"),
    ("Notchs", "notch"),
    ("cutline", "cut"),
    ("foldline", "fold"),
    ("grainline", "grain"),
    ("darts", "dart"),
    ("insde", "inside"),
    ("ingore", "ignore"),
    ("corners", "corner"),
    ("stiching", "stitch"),
    ("sttichline", "stitch"),
    ("style_narrow", "style:narrow"),
]


@pytest.mark.parametrize(("word", "near"), SLIPS)
@pytest.mark.parametrize(
    "inside", ['<path class="{}" d="M0 0h9"/>', '<g inkscape:label="{}"><path d="M0 0h9"/></g>']
)
def test_slips_elsewhere_are_told(read, inside, word, near):
    sheet = read(inside.format(word))
    assert _only(sheet) == (None, "")
    (finding,) = sheet.findings
    assert finding.code == "unclear-role"
    assert f'"{word}"' in finding.text
    assert f'"{near}"' in finding.text


@pytest.mark.parametrize(
    "word",
    [
        "st0",
        "cls-1",
        "fil0",
        "str2",
        "style0",
        "side",
        "art",
        "layer",
        "Layer_1",
        "path12",
        "g10",
        "front",
        "out",
        "cup",
        "dots",
        "part",
        "dating",
        "cups",
        "outline",
        "sideline",
        "insulated",
    ],
)
def test_words_of_editors_are_left_alone(read, word):
    sheet = read(f'<g id="{word}"><path class="{word}" {D}/></g>')
    assert _only(sheet) == (None, "")
    assert sheet.findings == ()


def test_a_layer_name_with_two_roles_is_told_and_not_taken(read):
    sheet = read(f'<g inkscape:label="cut and stitch"><path {D}/></g>')
    assert _only(sheet) == (None, "")
    (finding,) = sheet.findings
    assert "two roles" in finding.text


def test_each_slip_is_told_once(read):
    sheet = read(f'<path class="sttich" {D}/>\n<path class="sttich" {D}/><path class="fodl" {D}/>')
    assert [f.code for f in sheet.findings] == ["unclear-role"] * 2
    assert "2 in this drawing" in sheet.findings[0].text
    assert sheet.findings[0].where == "apron.svg, <path> on line 1"


def test_many_different_slips_do_not_flood(read):
    sheet = read("".join(f'<path class="style-n{i}" {D}/>' for i in range(500)))
    assert len(sheet.findings) <= 30
