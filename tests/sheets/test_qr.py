"""The code on the start page holds the cutting notes: read by an independent decoder (ZXing)."""

from __future__ import annotations

import zxingcpp
from PIL import Image
from pypdfium2 import PdfDocument

from tests.demos import DEMOS, pattern_of_demo, pdf_of
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.qr import MOST_BYTES, cutting_notes


def read(image: Image.Image) -> str:
    found = zxingcpp.read_barcodes(image)
    assert len(found) == 1
    return str(found[0].text)


def test_a_phone_reads_the_notes_from_a_printed_page() -> None:
    for demo in DEMOS:
        document = PdfDocument(pdf_of(demo, "a4"))
        image = document[0].render(scale=150 / 72, grayscale=True).to_pil()
        document.close()
        text = read(image)
        for piece in pattern_of_demo(demo).pieces:
            assert f"\n{piece.name}: cut " in text
        assert pattern_of_demo(demo).digest in text


def test_notes_that_are_too_long_end_with_a_whole_line() -> None:
    piece = pattern_of_demo("hat").pieces[0]
    many = tuple(Piece(f"Panel number {n}", piece.outlines) for n in range(60))
    text = cutting_notes(Pattern("Long", many))
    assert len(text.encode()) <= MOST_BYTES
    assert text.endswith("not stated\n…")
