"""What a printed card looks like: cut out of the page that `blocksheet targets` writes."""

from __future__ import annotations

import io
import json
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import cv2
import numpy as np
from numpy.typing import NDArray
from pypdf import PdfReader
from pypdfium2 import PdfDocument

from tiler.job.targets import write_targets

#: Pixels to the millimetre of the faces, and of the pages that they are cut from.
FINE, _PAGE_PX = 12.0, 24.0
#: What is kept of the page round a card, where scissors leave the line, millimetres.
ROOM = 2.0
#: Cards that are printed.
PRINTED = 12


@dataclass(frozen=True, eq=False)
class CardFace:
    """A card as it left the printer, at true size.

    Args:
        light: Share of the light that comes back, 0 to 255, row 0 above; `FINE` pixels a mm, with
            `ROOM` round the border.
        width: Of its squares, millimetres.
        height: Likewise.
        border: White round the squares, millimetres.
    """

    light: NDArray[np.uint8] = field(repr=False)
    width: float
    height: float
    border: float


@cache
def _printed() -> tuple[bytes, dict[str, object]]:
    with TemporaryDirectory() as folder:
        content = write_targets("a4", Path(folder) / "cards.pdf", PRINTED).read_bytes()
    (record,) = PdfReader(io.BytesIO(content)).attachments["blocksheet.json"]
    return content, json.loads(record)


def printed_bars() -> tuple[float, float]:
    """How long the bars along the long and the short side of the cards are meant to be."""
    _, record = _printed()
    across, up = record["bars"]  # type: ignore[misc]
    return across, up


@cache
def _page(number: int) -> tuple[NDArray[np.uint8], float, float]:
    """A page, and its pixels to the millimetre across and down."""
    content, _ = _printed()
    with PdfDocument(content) as document:
        page = document[number - 1]
        wide, high = (side * 25.4 / 72 for side in page.get_size())
        grey = page.render(scale=_PAGE_PX * 25.4 / 72, grayscale=True).to_numpy().squeeze()
        return np.array(grey, np.uint8), grey.shape[1] / wide, grey.shape[0] / high


@cache
def card_face(number: int) -> CardFace:
    """A card, from 1 to `PRINTED`."""
    _, record = _printed()
    border = float(record["border"])  # type: ignore[arg-type]
    (card,) = (each for each in record["cards"] if each["number"] == number)  # type: ignore[attr-defined]
    page, across, down = _page(card["page"])
    page_mm = page.shape[0] / down
    wide, high = (round((card[side] + 2 * ROOM) * FINE) for side in ("width", "height"))
    x = card["left"] - ROOM + (np.arange(wide, dtype=np.float32) + 0.5) / FINE
    y = card["bottom"] + card["height"] + ROOM - (np.arange(high, dtype=np.float32) + 0.5) / FINE
    columns, rows = np.meshgrid(x * across - 0.5, (page_mm - y) * down - 0.5)
    light = cv2.remap(page, columns.astype(np.float32), rows.astype(np.float32), cv2.INTER_LINEAR)
    return CardFace(
        np.asarray(light, np.uint8),
        card["width"] - 2 * border,
        card["height"] - 2 * border,
        border,
    )


@cache
def reduced(number: int, step: float) -> tuple[NDArray[np.float32], float, float]:
    """The face with fewer pixels, area-averaged, and its pixels a millimetre across and down.

    Args:
        number: Of the card.
        step: About how many pixels of `FINE` become one.
    """
    face = card_face(number).light
    high, wide = face.shape
    size = max(1, round(wide / step)), max(1, round(high / step))
    small = cv2.resize(face.astype(np.float32) / 255, size, interpolation=cv2.INTER_AREA)
    return np.asarray(small, np.float32), FINE * size[0] / wide, FINE * size[1] / high
