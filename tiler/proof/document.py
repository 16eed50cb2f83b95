"""A PDF opened with care: whatever is wrong with it becomes one clear error."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from pypdf import PageObject, PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, StreamObject

from tiler.intake.files import MIB
from tiler.intake.sheetfile.careful import careful
from tiler.intake.sheetfile.carried import Carried, read_carried
from tiler.intake.sheetfile.objects import entry, solid
from tiler.intake.sheetfile.opened import content_of, reader_of, refuse_no_pdf
from tiler.pattern.affine import Affine
from tiler.pattern.errors import FileError
from tiler.pattern.units import MM_PER_UNIT
from tiler.proof.content import read_ink
from tiler.proof.geometry import Floats, box_window
from tiler.proof.ink import Ink, Unseen
from tiler.proof.layers import Layer, read_layers
from tiler.proof.resources import PdfResources, Shelf, number
from tiler.proof.soundness import check_objects

#: Drawing commands of all pages and forms together, unpacked.
DRAWING_LIMIT = 128 * MIB
PAGE_LIMIT = 5000
_MM = MM_PER_UNIT["pt"]


@dataclass(frozen=True, slots=True)
class Form:
    """A form XObject as it draws when it starts with some graphics state."""

    ink: Ink
    matrix: Affine
    layer: int | None


@dataclass(frozen=True, slots=True)
class Paper:
    """One page of the file.

    Args:
        label: Its page label.
        width: Of the media box, millimetres.
        height: Of the media box, millimetres.
        unit: How many points its unit is.
        oddities: What would make it print otherwise than drawn, in words.
        to_page: The page's user space to millimetres from the lower left of the media box.
        ink: What its content draws, in user space.
    """

    label: str
    width: float
    height: float
    unit: float
    oddities: tuple[str, ...]
    to_page: Affine
    ink: Ink


@dataclass(frozen=True, slots=True)
class Document:
    """All that a proof needs from a file.

    Args:
        papers: The pages, in order.
        forms: By key and by the graphics state that they start with.
        layers: The optional content groups, by key.
        scaled: Whether the file leaves it to the viewer to print at another size.
        carried: The record and the pattern's files.
    """

    papers: tuple[Paper, ...]
    forms: dict[tuple[int, Unseen], Form]
    layers: tuple[Layer, ...]
    scaled: bool
    carried: Carried


def open_document(path: Path) -> Document:
    """Read a publication.

    Raises:
        FileError: The file cannot be read, is damaged, locked or too large, or is no PDF that
            Blocksheet has published.
        NotProvenError: It carries no record that could be followed.
    """
    where = str(path)
    content = content_of(path, "Give a published PDF.")
    refuse_no_pdf(content, where)
    with careful(where):
        reader = reader_of(content)
        root = reader.root_object
        carried = read_carried(root, where)
        count = len(reader.pages)
        if not 0 < count <= PAGE_LIMIT:
            raise FileError(
                f"the PDF has {count:,} pages",
                where=where,
                remedy=f"A publication has from 1 to {PAGE_LIMIT:,}.",
            )
        check_objects(reader, content)
        return _Loader(reader, carried, where).load(root)


class _Loader:
    def __init__(self, reader: PdfReader, carried: Carried, where: str) -> None:
        self.reader = reader
        self.carried = carried
        self.where = where
        self.shelf = Shelf()
        self.left = DRAWING_LIMIT

    def load(self, root: DictionaryObject) -> Document:
        labels = self.reader.page_labels
        papers: list[Paper] = []
        for page, label in zip(self.reader.pages, labels, strict=True):
            try:
                papers.append(self._paper(page, str(label)))
            except FileError as wrong:
                raise wrong.within(f"page {label}") from None
        forms: dict[tuple[int, Unseen], Form] = {}
        wanted = [(use.form, use.unseen) for paper in papers for use in paper.ink.uses]
        while wanted:
            key = wanted.pop()
            if key not in forms:
                forms[key] = self._form(*key)
                wanted += [(use.form, use.unseen) for use in forms[key].ink.uses]
        viewer = entry(root, "/ViewerPreferences")
        return Document(
            papers=tuple(papers),
            forms=forms,
            layers=read_layers(root, self.shelf),
            scaled=entry(viewer, "/PrintScaling") != "/None",
            carried=self.carried,
        )

    def _paper(self, page: PageObject, label: str) -> Paper:
        left, bottom, right, top = _box(entry(page, "/MediaBox"))
        oddities = []
        if "/CropBox" in page:
            crop = _box(entry(page, "/CropBox"))
            if (
                max(abs(a - b) for a, b in zip(crop, (left, bottom, right, top), strict=True))
                > 0.01
            ):
                oddities.append("its crop box cuts the sheet")
        if (number(entry(page, "/Rotate")) or 0) % 360:
            oddities.append("it is turned by /Rotate")
        unit = number(entry(page, "/UserUnit")) or 1.0
        mm = unit * _MM
        for annotation in entry(page, "/Annots") or ():
            kind = entry(solid(annotation), "/Subtype")
            oddities.append(f"something is stuck on it (annotation {str(kind)[:30]})")
        return Paper(
            label=label,
            width=(right - left) * mm,
            height=(top - bottom) * mm,
            unit=unit,
            oddities=tuple(dict.fromkeys(oddities)),
            to_page=Affine(mm, 0, 0, mm, -left * mm, -bottom * mm),
            ink=read_ink(
                self._content(entry(page, "/Contents")),
                PdfResources(entry(page, "/Resources"), self.shelf),
            ),
        )

    def _form(self, key: int, unseen: Unseen) -> Form:
        stream = self.shelf.forms[key]
        matrix = entry(stream, "/Matrix")
        numbers = [number(value) for value in matrix] if isinstance(matrix, ArrayObject) else []
        by = Affine(*(value or 0.0 for value in numbers)) if len(numbers) == 6 else Affine()
        window: Floats = box_window(*_box(entry(stream, "/BBox")))
        ink = read_ink(
            self._content(stream),
            PdfResources(entry(stream, "/Resources"), self.shelf),
            window=window,
            unseen=unseen,
        )
        held = stream.raw_get("/OC") if "/OC" in stream else None
        return Form(ink, by, None if held is None else self.shelf.layer(held))

    def _content(self, held: object) -> bytes:
        if held is None:
            return b""
        streams = held if isinstance(held, ArrayObject) else [held]
        parts: list[bytes] = []
        for stream in streams:
            stream = solid(stream)
            if not isinstance(stream, StreamObject):
                raise ValueError("the content is no stream")
            parts.append(stream.get_data())
            self.left -= len(parts[-1])
            if self.left < 0:
                raise FileError(
                    f"its drawings unpack to more than {DRAWING_LIMIT // MIB} MiB",
                    where=self.where,
                    remedy="This is no publication of an ordinary pattern.",
                )
        return b"\n".join(parts)


def _box(found: object) -> tuple[float, float, float, float]:
    numbers = [number(value) for value in found] if isinstance(found, ArrayObject) else []
    box = [value for value in numbers if value is not None and abs(value) < 1e7]
    if len(numbers) != 4 or len(box) != 4:
        raise ValueError("a box has no four sides")
    return min(box[0], box[2]), min(box[1], box[3]), max(box[0], box[2]), max(box[1], box[3])
