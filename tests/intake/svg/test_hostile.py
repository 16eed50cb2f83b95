"""Files that are broken, far too large, or mean harm.

What must hold: each ends quickly in a refusal that names the file, the place and the remedy;
nothing is ever opened or fetched; nothing is expanded beyond the stated limits.
"""

from __future__ import annotations

import builtins
import gzip
import io
import os
import socket
import time
from itertools import pairwise

import pytest

from tiler.intake.svg import limits, read_svg
from tiler.pattern.errors import DrawingError

SIZE = 'xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90"'
LINE = '<path d="M0 0h9"/>'


def _svg(inside: str, before: str = "") -> bytes:
    return f"{before}<svg {SIZE}>{inside}</svg>".encode()


NOT_SVG = [
    (b"", "the file is empty", "Save the drawing again"),
    (b" \n ", "the file is empty", "Save the drawing again"),
    (b"hello", "not well-formed XML", "save it again as plain SVG"),
    (b"<svg>", "not well-formed XML", "save it again"),
    (b"<svg></sgv>", "mismatched tag", "save it again"),
    (b"\n<svg a=1/>", "line 2", "save it again"),
    (b"<svg xlink:href='#a'/>", "unbound prefix", "save it again"),
    (b"\x00\x01\x02", "not well-formed XML", "save it again"),
    (b"<html/>", "outermost element is <html>", "plain SVG"),
    (b'<svg xmlns="http://example.org/"/>', "outermost element is <svg>", "plain SVG"),
    (b"%PDF-1.7\n", "it is a PDF", "plain SVG"),
    (b"\x89PNG\r\n\x1a\n", "PNG picture", "plain SVG"),
    (b"\xff\xd8\xff\xe0", "JPEG", "plain SVG"),
    (gzip.compress(b"<svg/>"), "compressed SVG", "gzip"),
    (
        b"<?xml version='1.0' encoding='no-such'?><svg/>",
        "unknown encoding: no-such",
        "Save it again in UTF-8",
    ),
    (b"<?xml version='1.0' encoding='utf-7'?><svg/>", "", "Save it again"),
    (b"<svg>\xff\xfe\x80</svg>", "not well-formed XML", "save it again"),
]


@pytest.mark.parametrize(("content", "reason", "remedy"), NOT_SVG, ids=range(len(NOT_SVG)))
def test_other_files_are_refused(refused, content, reason, remedy):
    refused(content, reason, remedy)


DOCTYPES = {
    "entity bomb": '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {b} "{("&" + a + ";") * 10}">' for a, b in pairwise("abcdefghij"))
    + "]>",
    "external entity": '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]>',
    "parameter entity": '<!DOCTYPE svg [<!ENTITY % a SYSTEM "http://example.org/a.dtd"> %a;]>',
    "default attribute": '<!DOCTYPE svg [<!ATTLIST svg width CDATA "5mm">]>',
    "empty subset": "<!DOCTYPE svg []>",
}


@pytest.mark.parametrize("doctype", DOCTYPES.values(), ids=DOCTYPES.keys())
def test_declarations_are_refused(refused, doctype):
    content = _svg("<text>&a;</text>", f"{doctype}\n")
    refused(content, "line 1", "DTD and entities are refused", "delete the <!DOCTYPE")


def test_entities_of_another_file_are_refused(refused):
    doctype = '<!DOCTYPE svg SYSTEM "http://example.org/svg.dtd">\n'
    refused(_svg("\n<text>&a;</text>", doctype), "line 3", "entity 'a'", "delete the <!DOCTYPE")


def test_harmless_doctype_and_entities_are_read():
    doctype = (
        '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n<!DOCTYPE svg PUBLIC '
        '"-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">\n'
    )
    sheet = read_svg(_svg('<path id="a&amp;b" d="M0 0&#32;h9"/>', doctype), "a.svg")
    assert sheet.paths[0].element == '<path id="a&b"> on line 3'


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "cp1252"])
def test_encodings(encoding):
    name = "utf-8" if encoding == "utf-8-sig" else encoding
    text = f'<?xml version="1.0" encoding="{name}"?><svg {SIZE}><path id="ä" d="M0 0h9"/></svg>'
    assert 'id="ä"' in read_svg(text.encode(encoding), "a.svg").paths[0].element


def test_drawing_without_a_namespace_is_read():
    content = b'<svg width="90mm" height="90mm" viewBox="0 0 90 90"><path d="M0 0h9"/></svg>'
    assert len(read_svg(content, "a.svg").paths) == 1


EXTERNAL = (
    '<image href="http://example.org/a.png" width="3" height="3"/><image href="/etc/hosts"/>'
    '<use href="http://example.org/a.svg#b"/><use href="other.svg#b"/>'
    "<style>@import url(http://example.org/a.css); @font-face{src:url(http://example.org/f)}"
    " path{fill:url(http://example.org/a.svg#b); clip-path:url(x.svg#y)}</style>"
    '<script href="http://example.org/a.js"/><a href="http://example.org/">' + LINE + "</a>"
    '<x:include xmlns:x="http://www.w3.org/2001/XInclude" href="/etc/passwd"/>'
    '<foreignObject><iframe src="http://example.org/"/></foreignObject>'
)


def test_nothing_is_opened_or_fetched(monkeypatch):
    before = (
        '<?xml-stylesheet href="http://example.org/a.css"?>'
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://example.org/svg11.dtd">'
    )
    content = _svg(EXTERNAL, before)
    read_svg(content, "warm.svg")  # Everything that Python itself loads on first use is loaded.

    def forbidden(*arguments, **more):
        raise AssertionError(f"opened {arguments}")

    for owner, name in (
        (socket, "socket"),
        (socket, "create_connection"),
        (builtins, "open"),
        (io, "open"),
        (os, "open"),
    ):
        monkeypatch.setattr(owner, name, forbidden)
    sheet = read_svg(content, "apron.svg")
    monkeypatch.undo()
    told = {finding.code for finding in sheet.findings}
    assert told >= {"image", "external-use", "external-style", "script", "foreign-object"}
    assert len(sheet.paths) == 1


def _deep(levels: int) -> str:
    return "<g>" * levels + LINE + "</g>" * levels


def _bomb(levels: int, copies: int) -> str:
    rows = ['<path id="n0" d="M0 0h1"/>']
    for level in range(1, levels + 1):
        uses = f'<use href="#n{level - 1}"/>' * copies
        rows.append(f'<g id="n{level}">{uses}</g>')
    return f"<defs>{''.join(rows)}</defs>\n<use href='#n{levels}'/>"


def _chain(links: int) -> str:
    rows = "".join(f'<use id="n{i + 1}" href="#n{i}"/>' for i in range(links))
    return f'<defs><path id="n0" d="M0 0h1"/>{rows}</defs><use href="#n{links}"/>'


HARMFUL = {
    "a use of itself": ('<use id="a" href="#a"/>', '<use id="a"> on line 1', "copies itself"),
    "a use of its own group": (
        '<g id="a">\n<use href="#a"/></g>',
        "<use> on line 2",
        "copies itself",
    ),
    "two uses of each other": (
        '<use id="a" href="#b"/><use id="b" href="#a"/>',
        '<use id="a"> on line 1',
        "copies itself",
    ),
    "a use of the root": (
        '<use href="#r"/><g id="r"><use href="#r"/></g>',
        "<use>",
        "copies itself",
    ),
    "symbols in a circle": (
        '<symbol id="a"><use href="#b"/></symbol><symbol id="b"><use href="#a"/></symbol>'
        '<use href="#a"/>',
        "<use> on line 1",
        "copies itself",
    ),
    "a bomb of tens": (_bomb(12, 10), '<g id="n5"> on line 1', "multiply into more than 200,000"),
    "a bomb of twos": (_bomb(30, 2), "<g id=", "multiply into more than 200,000"),
    "a wide bomb": (_bomb(2, 900), "<g id=", "multiply into more than 200,000"),
    "a long chain": (_chain(40), '<use id="n33"> on line 1', "more than 32 deep"),
    "deep groups": (_deep(300), "<g> on line 1", "nested more than 256 deep"),
    "very deep groups": (_deep(100_000), "<g> on line 1", "nested more than 256 deep"),
    "deep through copies": (
        f'<g id="a">{_deep(200)}</g>' + "<g>" * 100 + '<use href="#a"/>' + "</g>" * 100,
        "on line 1",
        "nested more than 256 deep",
    ),
    "many elements": ("<g/>" * 200_001, "<g> on line 1", "more than 200,000 elements"),
    "many segments": (
        f'<path id="p" d="M0 0{" 1 1" * 500_001}"/>',
        '<path id="p"> on line 1',
        "more than 500,000 segments",
    ),
    "many points": (
        f'<polygon id="p" points="{"1 1 " * 500_001}"/>',
        '<polygon id="p"> on line 1',
        "more than 500,000 segments",
    ),
    "many segments in copies": (
        f'<path id="p" d="M0 0{"h1v1" * 20_000}"/>' + '<use href="#p"/>' * 50,
        "copied by <use>",
        "more than 500,000 segments",
    ),
    "long transform": (
        f'<g transform="{"scale(1)" * 100_000}"/>',
        "<g> on line 1",
        "more than 20,000 characters",
    ),
    "huge style sheet": (
        "<style>" + "path{fill:red}" * 200_000 + "</style>",
        "<style> on line 1",
        "characters",
    ),
    "many rules": (
        "<style>" + ".a{display:none}" * 6_000 + "</style>" + LINE,
        "<style> on line 1",
        "too many rules",
    ),
    "costly rule": (
        "<style>g g g g g path{display:none}</style>" + _deep(200),
        "<style> on line 1",
        "too costly",
    ),
    "costly rules": (
        "<style>" + "*{display:inline}" * 4_000 + "</style>" + LINE * 5_000,
        "<style> on line 1",
        "too costly",
    ),
}


@pytest.mark.parametrize(("inside", "place", "reason"), HARMFUL.values(), ids=HARMFUL.keys())
def test_harmful_drawings_are_refused(refused, inside, place, reason):
    message = refused(_svg(inside), place, reason)
    assert len(message) < 500


@pytest.mark.parametrize(
    "name", [n for n in HARMFUL if n.startswith("a ") or "circle" in n or "other" in n]
)
def test_circles_and_bombs_are_refused_at_once(name):
    content = _svg(HARMFUL[name][0])
    start = time.perf_counter()
    with pytest.raises(DrawingError):
        read_svg(content, "apron.svg")
    assert time.perf_counter() - start < 1


def test_a_file_too_large_is_refused(refused):
    refused(_svg("<!--" + "x" * limits.FILE_BYTES + "-->"), "32 MiB", "Take embedded pictures out")


def test_what_is_within_the_limits_is_read():
    assert len(read_svg(_svg(_deep(254)), "a.svg").paths) == 1
    assert len(read_svg(_svg(_chain(30)), "a.svg").paths) == 1
    assert len(read_svg(_svg(_bomb(3, 10)), "a.svg").paths) == 1000


def test_a_circle_that_is_never_drawn_does_no_harm():
    content = _svg(f'<defs><g id="a"><use href="#a"/></g></defs>{LINE}')
    assert len(read_svg(content, "a.svg").paths) == 1


# Each would take minutes if any step were worse than linear.
LARGE = {
    "many closings": f'<path d="M0 0h9{"z" * 500_000}"/>',
    "many moves": f'<path d="{"M0 0" * 200_000}"/>',
    "white space": f'<path d="M0 0{" " * 4_000_000}h9"/>',
    "one number": f'<path d="M0 0h0.{"1" * 4_000_000}"/>',
    "no number": f'<path d="M0 0h9{"-" * 1_000_000}"/>',
    "many classes": "".join(f'<path class="k{i} cutx{i}" d=""/>' for i in range(30_000)),
    "one class attribute": f'<path class="{"dort " * 800_000}" d="M0 0h9"/>',
    "siblings with a sheet": "<style>rect + g > path{display:none}</style>" + "<g/>" * 40_000,
    "nested brackets in styles": f"<style>path{{transform:{'(' * 200_000}</style>{LINE}",
    "nested brackets in a style": f'<path style="transform:{"(" * 100_000}" d="M0 0h9"/>',
    "nested negations": f"<style>{':not(' * 5_000}a{')' * 5_000}{{display:none}}</style>{LINE}",
    "long selector": f"<style>{'a>' * 50_000}a{{display:none}}</style>{LINE}",
    "many selectors": f"<style>{'a,' * 4_000}a{{display:none}}</style>{LINE}",
    "brackets in a transform": f'<g transform="{"(" * 19_000}"/>',
    "long id": f'<g id="{"_x41_" * 400_000}"><path d="M0 0h9"/></g>',
    "long view box": f'<svg viewBox="{"0 " * 1_000_000}"/>',
    "long length": f'<rect width="{"9" * 1_000_000}" height="3"/>',
    "hidden in groups": '<g display="none"/>' * 40_000,
}


@pytest.mark.parametrize("inside", LARGE.values(), ids=LARGE.keys())
def test_time_grows_no_faster_than_the_file(inside):
    content = _svg(inside)
    start = time.process_time()
    try:
        message = ""
        read_svg(content, "apron.svg")
    except DrawingError as error:
        message = str(error)
    assert time.process_time() - start < 15
    assert len(message) < 500


NUMBERS = [
    "1e308",
    "-1e308",
    "1e999",
    "NaN",
    "nan",
    "Infinity",
    "1e9999999999",
    "0x10",
    "1_000",
    "١",
]
PLACES = [
    '<path d="M0 0 L{} 5"/>',
    '<path d="M0 0 A{} 5 0 0 1 9 9"/>',
    '<polygon points="0 0 {} 5 6 6"/>',
    '<rect width="{}" height="5"/>',
    '<circle r="5" cx="{}"/>',
    '<ellipse rx="5" ry="{}"/>',
    '<line x2="{}"/>',
    '<g transform="translate({})"><path d="M0 0h9"/></g>',
    '<g transform="rotate({})"><path d="M0 0h9"/></g>',
    '<svg width="{}" height="4"><path d="M0 0h9"/></svg>',
    '<svg viewBox="0 0 {} 4"><path d="M0 0h9"/></svg>',
    '<defs><path id="p" d="M0 0h9"/></defs><use x="{}" href="#p"/>',
]


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("place", PLACES)
def test_numbers_that_are_none_are_refused(refused, place, number):
    message = refused(_svg("\n" + place.format(number)), "on line 2")
    assert number[1:] in message or number.lower() in message


@pytest.mark.parametrize(
    "inside",
    [
        '<path d="M0 0 L9e8 0"/>',
        '<g transform="scale(1e6)"><path d="M0 0h9"/></g>',
        '<g transform="scale(1e9)"><g transform="scale(1e9)"><path d="M0 0h9"/></g></g>',
        '<g transform="scale(1e200)"><path d="M0 0h9"/></g>',
        "<g transform='scale(1e9)'>" * 40 + '<path d="M0 0A1 1 0 0 1 9 9"/>' + "</g>" * 40,
        '<svg viewBox="0 0 1e-9 1e-9"><path d="M0 0h9"/></svg>',
        '<svg viewBox="0 0 1e-320 1e-320"><path d="M1 1h9"/></svg>',
        '<path d="M0 0A9e8 9e8 0 0 1 9 9"/><path d="M0 0A9e8 1e-9 7 1 1 9 9"/>',
    ],
)
def test_places_out_of_reach_are_refused(refused, inside):
    message = refused(_svg(inside), "on line 1")
    assert "too large" in message or "farther than 100 m" in message


def test_vanishing_scales_leave_no_lines():
    inside = "<g transform='scale(1e-8)'>" * 40 + LINE + "</g>" * 40
    sheet = read_svg(_svg(inside), "a.svg")
    assert sheet.paths == ()
    assert [finding.code for finding in sheet.findings] == ["no-length"]
