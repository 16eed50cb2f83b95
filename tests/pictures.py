"""``python -m tests.pictures`` remakes the pictures in README from the smock as it is now."""

from __future__ import annotations

from pathlib import Path

from PIL import Image
from pypdfium2 import PdfDocument

from tests.demos import pdf_of

FOLDER = Path(__file__).parents[1] / "demo_pieces" / "pictures"


def remake() -> None:
    """Write start-page.png, pattern-page.png and assembly-map.png."""
    document = PdfDocument(pdf_of("smock", "a4"))

    def page(number: int, dpi: float) -> Image.Image:
        picture: Image.Image = document[number].render(scale=dpi / 72, grayscale=True).to_pil()
        return picture

    FOLDER.mkdir(exist_ok=True)
    pages = {
        "start-page": page(0, 72),
        "pattern-page": page(2, 72),
        "assembly-map": page(0, 110).crop((48, 648, 905, 1222)),
    }
    for name, picture in pages.items():
        picture.quantize(32).save(FOLDER / f"{name}.png", optimize=True)
    document.close()


if __name__ == "__main__":
    remake()
