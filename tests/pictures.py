"""``python -m tests.pictures`` remakes the pictures in README from the smock as it is now."""

from __future__ import annotations

from pathlib import Path

from PIL import Image
from pypdfium2 import PdfDocument

from tests.demos import front_of, pdf_of, publication_of, sheets_of
from tests.printed import lines_on, words_on
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.assembly import PAGE_LINE
from tiler.sheets.drawing import Page, Pen
from tiler.sheets.words import say

FOLDER = Path(__file__).parents[1] / "demo_pieces" / "pictures"
DEMO, PAPER = "smock", "a4"
#: Dots to the inch of whole pages and of the map, and white round the map (millimetres).
PAGES, MAP, ROUND = 72.0, 150.0, 3.0


def remake() -> None:
    """Write start-page.png, pattern-page.png and assembly-map.png."""
    document = PdfDocument(pdf_of(DEMO, PAPER))
    numbers = {page.name: n for n, page in enumerate(publication_of(DEMO, PAPER).pages)}

    def picture(page: Page, dpi: float) -> Image.Image:
        shown = document[numbers[page.name]].render(scale=dpi / 72, grayscale=True)
        image: Image.Image = shown.to_pil()
        return image

    mapped, box = _map()
    dots = MAP / MM_PER_INCH
    frame = (box.left, mapped.height - box.top, box.right, mapped.height - box.bottom)
    FOLDER.mkdir(exist_ok=True)
    pictures = {
        "start-page": picture(front_of(DEMO, PAPER)[0], PAGES),
        "pattern-page": picture(_telling(), PAGES),
        "assembly-map": picture(mapped, MAP).crop(tuple(round(mm * dots) for mm in frame)),
    }
    for name, image in pictures.items():
        image.quantize(32).save(FOLDER / f"{name}.png", optimize=True)
    document.close()


def _map() -> tuple[Page, Bounds]:
    """The front page with the map of all pages, and the map's place with some white round it."""
    for page in front_of(DEMO, PAPER):
        cells = [line.path.bounds for line in lines_on(page) if line.pen == PAGE_LINE]
        if cells:
            return page, bounds_of(cells).grown(ROUND)
    raise LookupError("no front page has a map")


def _telling() -> Page:
    """The page with a fold bracket's words that has the most kinds of lines."""
    pages = [page for _, page in sheets_of(DEMO, PAPER)]
    folded = [page for page in pages if any(w.text == say("fold_edge") for w in words_on(page))]

    def pens(page: Page) -> set[Pen]:
        return {line.pen for line in lines_on(page) if line.pattern and not line.ink.is_empty}

    return max(folded, key=lambda page: len(pens(page)))


if __name__ == "__main__":
    remake()
