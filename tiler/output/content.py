"""Items of a drawing as PDF content, in millimetres under one scaling to points."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

from reportlab.pdfbase.pdfdoc import PDFResourceDictionary
from reportlab.pdfbase.pdfmetrics import getFont

from tiler.output.catalogue import any_of
from tiler.output.numbers import box_code, matrix_code, number, numbers, path_code
from tiler.output.objects import Box, Form, Leaf, Stream
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.units import PT_PER_MM, user_unit
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Use, Words
from tiler.sheets.lettering import BOLD, REGULAR, width_of

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_BACK = {"start": 0.0, "middle": 0.5, "end": 1.0}
#: Decimals of a millimetre to which words are placed.
_WORDS = 4


class ContentWriter:
    """Writes pages into a reportlab document; each reused drawing becomes one form XObject.

    Args:
        canvas: Whose document it is.
        layers: Name of each layer -> its optional content group. A group within a form cannot have
            layers: only pages share the names that they need.
    """

    def __init__(self, canvas: Canvas, layers: dict[str, Any]) -> None:
        self._canvas = canvas
        self._document = canvas._doc
        self._layers = layers
        self._memberships: dict[tuple[str, ...], Any] = {}
        # What all pages refer to by name: their forms, and the layers of stretches of content.
        self._shared = PDFResourceDictionary(ProcSet=())
        self._shared.basicFonts()
        pages = self._document.Pages
        pages.Resources = self._document.Reference(self._shared)
        pages.__NoDefault__ = [*pages.__NoDefault__, "Resources"]
        self._names: dict[tuple[str, ...], str] = {}
        self._digest = hashlib.md5(usedforsecurity=False)
        # The drawing is kept, so that no other one gets its identity.
        self._forms: dict[int, tuple[str, Any, Drawing]] = {}
        self._boxes: dict[str, Any] = {}
        # The same words come again on many pages.
        self._spelled: dict[tuple[str, bool], list[tuple[str, str]]] = {}
        self._fresh()

    def page(self, page: Page) -> None:
        """Write one page after those that are there."""
        self._fresh()
        unit = user_unit(page.width, page.height)
        scale = PT_PER_MM / unit
        self._put(matrix_code(Affine.scale(scale, scale)))
        self._items(page.items)
        self._shared.XObject.update(self._used)
        document = self._document
        size = numbers((0, 0, page.width * scale, page.height * scale))
        if size not in self._boxes:
            self._boxes[size] = document.Reference(Box(size))
        content = document.Reference(Stream(self._written()))
        tree = document.Reference(document.Pages)
        document.Pages.addPage(Leaf(tree, self._boxes[size], content, unit))

    def digest(self) -> bytes:
        """16 bytes that depend on all that was drawn."""
        return self._digest.digest()

    def _fresh(self) -> None:
        """A new content stream: round ends and corners, nothing known of the pen."""
        self._code: list[str] = []
        self._used: dict[str, Any] = {}
        self._lettered = False
        self._pen: Pen | None = None
        self._grey: float | None = None
        self._font = ""
        self._put("1 J 1 j")

    def _written(self) -> bytes:
        """The content stream as it is now."""
        code = "\n".join(self._code).encode("latin-1")
        self._digest.update(code)
        return code

    def _use(self, drawing: Drawing) -> str:
        """The name of a drawing's form, which is written when it is used for the first time."""
        made = self._forms.get(id(drawing))
        if made is None:
            kept = self._code, self._used, self._lettered, self._pen, self._grey, self._font
            made = self._forms[id(drawing)] = self._form(drawing)
            self._code, self._used, self._lettered, self._pen, self._grey, self._font = kept
        name, reference, _ = made
        self._used[name] = reference
        return name

    def _form(self, drawing: Drawing) -> tuple[str, Any, Drawing]:
        self._fresh()
        self._items(drawing.items, within=True)
        names = (drawing.layer,) if drawing.layer else drawing.any_of
        form = Form(
            self._written(),
            numbers(drawing.bounds),
            self._used,
            self._shared.Font if self._lettered else None,
            self._membership(names) if names else None,
        )
        return f"F{len(self._forms)}", self._document.Reference(form), drawing

    def _membership(self, names: tuple[str, ...]) -> Any:
        """A layer, or what shows as long as one of several does."""
        if len(names) == 1:
            return self._layers[names[0]]
        if names not in self._memberships:
            groups = [self._layers[name] for name in names]
            self._memberships[names] = any_of(self._canvas, groups)
        return self._memberships[names]

    def _layer_name(self, names: tuple[str, ...]) -> str:
        """What a stretch of content calls its layer (ISO 32000-1, 8.11.3.2)."""
        if names not in self._names:
            self._names[names] = f"L{len(self._names)}"
            self._shared.Properties[self._names[names]] = self._membership(names)
        return self._names[names]

    def _items(self, items: Sequence[Item], *, within: bool = False) -> None:
        for kind, run in groupby(items, type):
            if kind is Words:
                self._words([item for item in run if isinstance(item, Words)])
                continue
            for item in run:
                if isinstance(item, Stroke):
                    self._stroke(item)
                elif isinstance(item, Fill):
                    self._fill(item)
                elif isinstance(item, Group):
                    self._group(item, within)
                elif isinstance(item, Use):
                    self._place(item)

    def _place(self, use: Use) -> None:
        name = self._use(use.drawing)
        self._put(f"/{name} Do" if use.at == STILL else f"q {matrix_code(use.at)} /{name} Do Q")

    def _group(self, group: Group, within: bool) -> None:
        if group.layers:
            if within:
                raise AssertionError("a stretch of content has its layers on a page, not in a form")
            self._put(f"/OC /{self._layer_name(group.layers)} BDC")
        if group.furniture:
            self._put(f"/Artifact {_facts(group)}" if group.facts else "/Artifact BMC")
        own_state = group.at is not None or group.window is not None
        before = self._pen, self._grey, self._font
        if own_state:
            self._put("q")
        if group.window is not None:
            left, bottom, right, top = group.window
            self._put(f"{numbers((left, bottom, right - left, top - bottom))} re W n")
        if group.at is not None:
            self._put(matrix_code(group.at))
        self._items(group.items, within=within)
        if own_state:
            self._put("Q")
            self._pen, self._grey, self._font = before
        if group.furniture:
            self._put("EMC")
        if group.layers:
            self._put("EMC")

    def _stroke(self, stroke: Stroke) -> None:
        pen = stroke.pen
        if pen != self._pen:
            self._put(f"{number(pen.width)} w [{numbers(pen.dash)}] 0 d {number(pen.grey)} G")
            self._pen = pen
        self._put(" ".join(map(path_code, stroke.paths)) + " S")

    def _fill(self, fill: Fill) -> None:
        self._fill_grey(fill.grey)
        self._put(" ".join(box_code(path) or path_code(path) for path in fill.paths) + " f")

    def _words(self, lines: Sequence[Words]) -> None:
        """Text objects (ISO 32000-1, 9.4), one for all lines of one turn that follow each other.

        Each line is placed from the one before; the font stays as it is while it fits.
        """
        self._lettered = True
        for turn, run in groupby(lines, lambda words: words.turn):
            at = Affine.turn(turn)
            self._put("BT")
            # Where the line before began, as it is written; None where nothing was yet.
            here: tuple[float, float] | None = None
            for words in run:
                shift = _BACK[words.anchor]
                if shift:
                    shift *= width_of(words.text, words.size_pt, bold=words.bold)
                x, y = words.at.x - at.a * shift, words.at.y - at.b * shift
                if here is not None:
                    off_x, off_y = x - here[0], y - here[1]
                    along = round(at.a * off_x + at.b * off_y, _WORDS)
                    up = round(at.c * off_x + at.d * off_y, _WORDS)
                    move = f"{number(along)} {number(up)} Td"
                    here = (
                        here[0] + at.a * along + at.c * up,
                        here[1] + at.b * along + at.d * up,
                    )
                else:
                    here = x, y = round(x, _WORDS), round(y, _WORDS)
                    if turn:
                        move = matrix_code(Affine(at.a, at.b, at.c, at.d, x, y), "Tm")
                    else:
                        move = f"{number(x)} {number(y)} Td"
                self._fill_grey(words.grey)
                self._put(f"{move} {self._letters(words)}")
            self._put("ET")

    def _letters(self, words: Words) -> str:
        """The letters of a line, with the font where it is another one than before."""
        code = []
        size = number(words.size_pt / PT_PER_MM)
        for face, part in self._parts(words.text, words.bold):
            wanted = f"{face} {size} Tf"
            if wanted != self._font:
                code.append(wanted)
                self._font = wanted
            code.append(part)
        return " ".join(code)

    def _parts(self, text: str, bold: bool) -> list[tuple[str, str]]:
        """A text as faces and what they show: a font of the file holds 256 letters, so it may
        need several.
        """
        if (text, bold) not in self._spelled:
            font = getFont(BOLD if bold else REGULAR)
            self._spelled[text, bold] = [
                (
                    font.getSubsetInternalName(subset, self._document),
                    f"({self._canvas._escape(part)}) Tj",
                )
                for subset, part in font.splitString(text, self._document)
            ]
        return self._spelled[text, bold]

    def _fill_grey(self, grey: float) -> None:
        if grey != self._grey:
            self._put(f"{number(grey)} g")
            self._grey = grey

    def _put(self, code: str) -> None:
        self._code.append(code)


def _facts(group: Group) -> str:
    facts = []
    for name, value in group.facts:
        if isinstance(value, tuple):
            facts.append(f"/{name} [{numbers(value)}]")
        else:
            facts.append(f"/{name} {number(value)}")
    return f"<</Type /Layout {' '.join(facts)}>> BDC"
