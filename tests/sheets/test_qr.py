"""The codes on paper: read by an independent decoder (ZXing) from pages as a phone sees them.

Quiet zone, size of the finder patterns, error correction and capacities are those of ISO/IEC 18004.
What a code must say is worked out here from pattern.toml itself.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import zxingcpp

from tests.demos import DEMO_PIECES, DEMOS, pattern_of_demo, plan_of, publication_of
from tests.large import laid_on, written_on
from tests.output.pagewords import running_texts
from tests.photographed import Pixels, photographed, rendered
from tests.sheets.test_scalesheet import PRINTER
from tiler.drafting.paper import for_paper
from tiler.job import read
from tiler.layout.papers import find_paper
from tiler.output.pdf import pdf_bytes
from tiler.pattern.handover import Handover
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.publication import lay_out
from tiler.sheets.qr import MOST_BYTES, code_text, cutting_notes, qr_of, side_of
from tiler.sheets.scalesheet import draw_scale_sheet

QR = zxingcpp.BarcodeFormat.QRCode
#: The longest that pattern.toml takes, 200 characters.
LONG = "https://allotments.example/marrow-lane/patterns?" + "sheet=potting-shed&" * 8
ADDRESS = LONG[:200]
#: On paper: a code as wide as this is read from a hand's breadth away (common practice, no source).
LEAST_SIDE = 20.0


def expected(folder: Path) -> str:
    """What the code must say, from the files of a pattern and nothing else."""
    told = tomllib.loads((folder / "pattern.toml").read_text("utf-8"))
    if "address" in told:
        return str(told["address"])
    whole = hashlib.sha256()
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        content = file.read_bytes()
        whole.update(f"{file.name}\0{len(content)}\0".encode() + content)
    digest = whole.hexdigest()
    lines = [f"{told['title']}, version {told['version']} ({digest[:4]}-{digest[4:8]})"]
    return "\n".join(lines + [f"{each['name']}: {cutting(each)}" for each in told["piece"]])


def cutting(piece: dict[str, Any]) -> str:
    cuts = piece["cut"] if isinstance(piece["cut"], list) else [piece["cut"]]
    opened = piece.get("paper") == "whole"
    return "; ".join(f"cut {how_many(cut, opened)} · {cut['cloth']}" for cut in cuts)


def how_many(cut: dict[str, Any], opened: bool) -> str:
    """A half piece that is printed opened does not lie on a fold any more."""
    count = cut["count"]
    if opened:
        return f"{count}"
    half = count // 2
    return {
        "fold": f"{count} on the fold",
        "pair": f"{count}: {half} and {half} mirrored",
        "copies": f"{count}",
    }[cut["lay"]]


@cache
def start_page(demo: str, paper: str) -> bytes:
    """The first page of a demo, alone in a file."""
    return first_page(publication_of(demo, paper))


def first_page(publication: Any) -> bytes:
    return pdf_bytes(replace(publication, pages=publication.pages[:1]))


def with_address(folder: Path, address: str) -> Pattern:
    """The hat with an address, written into its pattern file and read back."""
    shutil.copytree(DEMO_PIECES / "hat", folder)
    file = folder / "pattern.toml"
    said = re.sub(r"(?m)^address = .*\n", "", file.read_text("utf-8"))
    file.write_text(f"address = {json.dumps(address)}\n{said}", "utf-8")
    return for_paper(read(folder))


@cache
def scale_page(paper: str, made_up: bool = False) -> bytes:
    return pdf_bytes(draw_scale_sheet(find_paper(paper), PRINTER if made_up else None))


def the_code(page: Pixels) -> Any:
    (found,) = zxingcpp.read_barcodes(page, formats=QR)
    return found


def around(page: Pixels, dpi: float = 150.0) -> Pixels:
    """What a phone that is held over the code sees: the code and 25 mm of the page round it."""
    place = the_code(page).position
    corners = (place.top_left, place.top_right, place.bottom_right, place.bottom_left)
    more = round(25 / 25.4 * dpi)
    x, y = [corner.x for corner in corners], [corner.y for corner in corners]
    return page[max(min(y) - more, 0) : max(y) + more, max(min(x) - more, 0) : max(x) + more]


SCALE_TEXTS = {
    ("a4", False): "A4: 190 mm, 270 mm\n"
    "blocksheet scale --printer NAME --paper a4 --across …mm --up …mm",
    ("letter", False): "Letter: 190 mm, 250 mm\n"
    "blocksheet scale --printer NAME --paper letter --across …mm --up …mm",
    ("b5", False): "B5: 150 mm, 230 mm\n"
    "blocksheet scale --printer NAME --paper b5 --across …mm --up …mm",
    ("a4", True): f"A4, {PRINTER.name}: 190 mm, 270 mm",
}
#: Pages with a code, and how many pictures are taken of each: a hundred in all.
PICTURES = {
    **{("start", demo, "a4"): 14 for demo in DEMOS},
    **{("start", demo, "letter"): 14 for demo in ("apron", "hat")},
    **{("scale", *page): 4 for page in SCALE_TEXTS},
}


def test_a_phone_reads_every_one_of_a_hundred_pictures() -> None:
    """150 dots to the inch, turned and tilted by 20 degrees, blurred, shaded and noisy."""
    assert sum(PICTURES.values()) == 100
    misread = []
    for number, ((kind, *which), count) in enumerate(PICTURES.items()):
        if kind == "start":
            demo, paper = which
            pdf, text = start_page(demo, paper), expected(DEMO_PIECES / demo)
        else:
            pdf, text = scale_page(*which), SCALE_TEXTS[tuple(which)]  # type: ignore[index]
        page = around(rendered(pdf))
        for seed in range(number * 100, number * 100 + count):
            found = zxingcpp.read_barcodes(photographed(page, seed), formats=QR)
            if [each.text for each in found] != [text]:
                misread.append((kind, which, seed))
    assert misread == []


@pytest.mark.parametrize("seed", range(3))
def test_a_code_is_found_on_the_picture_of_a_whole_page(seed: int) -> None:
    """Among squares, ticks, words and verniers."""
    picture = photographed(rendered(start_page("trousers", "a4")), seed)
    assert the_code(picture).text == expected(DEMO_PIECES / "trousers")


@pytest.mark.parametrize("address", ["https://allotments.example/hat", ADDRESS])
def test_an_address_takes_the_place_of_the_cutting_notes(address: str, tmp_path: Path) -> None:
    """It stands below the code in letters too, for those who type it."""
    pattern = with_address(tmp_path / "hat", address)
    assert expected(tmp_path / "hat") == address
    pdf = first_page(lay_out(pattern, plan_of("hat", "a4")))
    page = rendered(pdf)
    assert the_code(page).text == address
    for seed in range(3):
        assert the_code(photographed(around(page), seed)).text == address
    (words,) = running_texts(pdf)
    assert address in words.replace(" ", "")
    assert free_of_ink(pdf) >= 4


def test_the_longest_address_has_room_in_the_square() -> None:
    assert len(ADDRESS) == 200
    assert side_of(ADDRESS) < 60


@pytest.mark.parametrize(
    "page",
    [
        *(("start", demo, "a4") for demo in DEMOS),
        ("start", "hat", "letter"),
        *(("scale", *page) for page in SCALE_TEXTS),
        ("scale", "a3", False),
        ("scale", "legal", True),
    ],
    ids=lambda page: " ".join(map(str, page)),
)
def test_nothing_is_drawn_in_the_quiet_zone(page: tuple[Any, ...]) -> None:
    """Four modules on every side (ISO/IEC 18004), seen in the pixels at 300 dots to the inch."""
    kind, *which = page
    assert free_of_ink(start_page(*which) if kind == "start" else scale_page(*which)) >= 4


def test_the_quiet_zone_is_free_on_a_roll_and_its_code_says_what_the_files_say() -> None:
    pattern = pattern_of_demo("hat")
    pdf = written_on(pattern, laid_on(pattern, "roll:610mm"))
    assert the_code(rendered(pdf)).text == expected(DEMO_PIECES / "hat")
    assert free_of_ink(pdf, 150) >= 4
    assert all(pattern.digest in words for words in running_texts(pdf))


def free_of_ink(pdf: bytes, dpi: float = 300.0) -> float:
    """How many modules round a code are white, measured on the page; the code is large enough.

    A finder pattern is seven modules wide (ISO/IEC 18004), which tells how large a module is.
    """
    page = rendered(pdf, dpi=dpi) < 128
    place = the_code(rendered(pdf, dpi=dpi)).position
    x, y = place.top_left.x, place.top_left.y
    row = page[y + 3]
    left = x - 10 + int(np.argmax(row[x - 10 :]))
    finder = int(np.argmin(row[left:]))
    module = finder / 7
    right, bottom = place.bottom_right.x, place.bottom_right.y
    assert (right - left) / dpi * 25.4 + 8 * module / dpi * 25.4 >= LEAST_SIDE
    reach = 0
    # The decoder gives its corners to a pixel or so.
    rim = 2
    while reach < 6 * module:
        ring = page[
            y - rim - reach : bottom + rim + reach + 1, x - rim - reach : right + rim + reach + 1
        ]
        if ring[0].any() or ring[-1].any() or ring[:, 0].any() or ring[:, -1].any():
            break
        reach += 1
    return (reach + rim + 1) / module


def test_notes_that_are_too_long_end_with_a_whole_line() -> None:
    piece = pattern_of_demo("hat").pieces[0]
    many = tuple(Piece(f"Panel number {n}", piece.outlines) for n in range(60))
    text = cutting_notes(Pattern("Long", many))
    assert len(text.encode()) <= MOST_BYTES
    assert text.endswith("not stated\n…")
    # The largest code that is drawn: version 15, which has 77 modules, and room within 100 mm.
    assert len(qr_of(text)) <= 17 + 4 * 15
    assert side_of(text) < 72


@pytest.mark.parametrize(("size", "version"), [(42, 3), (43, 4), (62, 4), (84, 5), (213, 10)])
def test_a_code_is_no_larger_than_it_must_be(size: int, version: int) -> None:
    """Bytes that a version holds with error correction M (ISO/IEC 18004, from memory)."""
    rows = qr_of("x" * size)
    assert len(rows) == 17 + 4 * version == len(rows[0])


def test_the_side_is_known_before_anything_is_drawn() -> None:
    """Modules of 0.8 mm with four empty ones on either side."""
    assert side_of("x" * 42) == pytest.approx((29 + 8) * 0.8)


def test_a_pattern_without_an_address_is_told_by_its_cutting_notes() -> None:
    bare = replace(pattern_of_demo("hat"), handover=Handover())
    assert code_text(bare) == cutting_notes(bare)
    assert code_text(replace(bare, handover=Handover(address=ADDRESS))) == ADDRESS
