"""Items of a drawing as PDF content, in millimetres under one scaling to points."""

from __future__ import annotations

import hashlib
import math
from typing import TYPE_CHECKING, Any

from reportlab.pdfbase.pdfdoc import PDFResourceDictionary, PDFStream
from reportlab.pdfbase.pdfmetrics import getFont

from tiler.output.catalogue import any_of
from tiler.pattern.affine import Affine
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic
from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Use, Words, walk
from tiler.sheets.lettering import BOLD, REGULAR, width_of

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


class ContentWriter:
    """Draws pages on a reportlab canvas; each reused drawing becomes one form XObject.

    Args:
        canvas: Where to draw.
        layers: Name of each layer -> its optional content group. A group within a form cannot have
            layers: only pages share the names that they need.
    """

    def __init__(self, canvas: Canvas, layers: dict[str, Any]) -> None:
        self._canvas = canvas
        self._layers = layers
        self._memberships: dict[tuple[str, ...], Any] = {}
        # What all pages refer to by name: their forms, and the layers of stretches of content.
        self._shared = PDFResourceDictionary(ProcSet=())
        self._shared.basicFonts()
        self._shared_reference = canvas._doc.Reference(self._shared)
        self._names: dict[tuple[str, ...], str] = {}
        self._digest = hashlib.md5(usedforsecurity=False)
        self._forms: dict[int, tuple[str, Drawing]] = {}
        self._pen: Pen | None = None
        self._grey: float | None = None
        self._font = ""

    def page(self, page: Page) -> None:
        """Draw one page and turn to the next."""
        canvas = self._canvas
        # Forms are defined first: reportlab keeps one content stream open at a time.
        for item in page.items:
            self._define(item)
        canvas.setPageSize((page.width * PT_PER_MM, page.height * PT_PER_MM))
        self._fresh()
        self._concat(Affine.scale(PT_PER_MM, PT_PER_MM))
        self._items(page.items)
        self._digest.update("\n".join(canvas._code).encode("latin-1"))
        forms = canvas._doc.xobjDict(canvas._formsinuse).dict
        canvas.showPage()
        self._shared.XObject.update(forms)
        made = canvas._doc.Pages.pages[-1]
        made.Resources, made.Rotate, made.Trans = self._shared_reference, None, None

    def _define(self, item: Item) -> None:
        if isinstance(item, Group):
            for part in item.items:
                self._define(part)
        elif isinstance(item, Use) and id(item.drawing) not in self._forms:
            for part in item.drawing.items:
                self._define(part)
            self._form(item.drawing)

    def _form(self, drawing: Drawing) -> None:
        name = f"F{len(self._forms)}"
        self._forms[id(drawing)] = (name, drawing)
        left, bottom, right, top = drawing.bounds
        self._canvas.beginForm(name, left, bottom, right, top)
        self._fresh()
        self._items(drawing.items)
        forms = self._canvas._doc.xobjDict(self._canvas._formsinuse).dict
        resources = PDFResourceDictionary(ProcSet=(), XObject=forms)
        inside = list(walk(drawing.items))
        if any(isinstance(item, Words) for item in inside):
            resources.basicFonts()
        if any(isinstance(item, Group) and item.layers for item in inside):
            raise AssertionError("a stretch of content has its layers on a page, not in a form")
        self._canvas.endForm(Contents=self._stream(drawing), Resources=resources)

    def _stream(self, drawing: Drawing) -> Any:
        """The form's content, under the layer that a reader may switch off."""
        code = "\n".join(self._canvas._code)
        self._digest.update(code.encode("latin-1"))
        stream = PDFStream(content=code)
        names = (drawing.layer,) if drawing.layer else drawing.any_of
        if names:
            stream.dictionary["OC"] = self._membership(names)
        return stream

    def _membership(self, names: tuple[str, ...]) -> Any:
        """A layer, or what shows as long as one of several does."""
        if len(names) == 1:
            return self._layers[names[0]]
        if names not in self._memberships:
            groups = [self._layers[name] for name in names]
            self._memberships[names] = any_of(self._canvas, groups)
        return self._memberships[names]

    def digest(self) -> bytes:
        """16 bytes that depend on all that was drawn."""
        return self._digest.digest()

    def _fresh(self) -> None:
        """A new content stream: round ends and corners, nothing known of the pen."""
        self._pen = None
        self._grey = None
        self._font = ""
        self._put("1 J 1 j")

    def _items(self, items: tuple[Item, ...]) -> None:
        for item in items:
            if isinstance(item, Stroke):
                self._stroke(item)
            elif isinstance(item, Fill):
                self._fill(item)
            elif isinstance(item, Words):
                self._words(item)
            elif isinstance(item, Group):
                self._group(item)
            else:
                self._put(f"q {_matrix(item.at)}")
                self._canvas.doForm(self._forms[id(item.drawing)][0])
                self._put("Q")

    def _layer_name(self, names: tuple[str, ...]) -> str:
        """What a stretch of content calls its layer (ISO 32000-1, 8.11.3.2)."""
        if names not in self._names:
            self._names[names] = f"L{len(self._names)}"
            self._shared.Properties[self._names[names]] = self._membership(names)
        return self._names[names]

    def _group(self, group: Group) -> None:
        if group.layers:
            self._put(f"/OC /{self._layer_name(group.layers)} BDC")
        if group.furniture:
            self._put(f"/Artifact {_facts(group)}" if group.facts else "/Artifact BMC")
        own_state = group.at is not None or group.window is not None
        before = self._pen, self._grey, self._font
        if own_state:
            self._put("q")
        if group.window is not None:
            left, bottom, right, top = group.window
            size = " ".join(map(_number, (left, bottom, right - left, top - bottom)))
            self._put(f"{size} re W n")
        if group.at is not None:
            self._concat(group.at)
        self._items(group.items)
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
            dash = " ".join(map(_number, pen.dash))
            self._put(f"{_number(pen.width)} w [{dash}] 0 d {_number(pen.grey)} G")
            self._pen = pen
        self._put(" ".join(_path(path) for path in stroke.paths) + " S")

    def _fill(self, fill: Fill) -> None:
        self._fill_grey(fill.grey)
        self._put(" ".join(_box(path) or _path(path) for path in fill.paths) + " f")

    def _words(self, words: Words) -> None:
        """One text object (ISO 32000-1, 9.4); the font stays as it is while it fits."""
        self._fill_grey(words.grey)
        canvas = self._canvas
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
        shift = back * width_of(words.text, words.size_pt, bold=words.bold)
        turn = Affine.turn(words.turn)
        x, y = words.at.x - turn.a * shift, words.at.y - turn.b * shift
        code = ["BT"]
        if words.turn:
            code.append(_matrix(Affine(*turn[:4], x, y), "Tm"))
        else:
            code.append(f"{_number(x)} {_number(y)} Td")
        font = getFont(BOLD if words.bold else REGULAR)
        # A font of the file holds 256 letters, so a text may need several.
        for subset, part in font.splitString(words.text, canvas._doc):
            face = font.getSubsetInternalName(subset, canvas._doc)
            wanted = f"{face} {_number(words.size_pt / PT_PER_MM)} Tf"
            if wanted != self._font:
                code.append(wanted)
                self._font = wanted
            code.append(f"({canvas._escape(part)}) Tj")
        code.append("ET")
        self._put(" ".join(code))

    def _fill_grey(self, grey: float) -> None:
        if grey != self._grey:
            self._put(f"{_number(grey)} g")
            self._grey = grey

    def _concat(self, at: Affine) -> None:
        self._put(_matrix(at))

    def _put(self, code: str) -> None:
        # reportlab has no call for marked content or for paths given as numbers; its own calls
        # end in this same list.
        self._canvas._code.append(code)


def _path(path: Path) -> str:
    """Path operators (ISO 32000-1, table 59); lines stay lines and curves curves."""
    parts = [f"{_number(path.start.x)} {_number(path.start.y)} m"]
    segments = path.segments
    if path.closed and not isinstance(segments[-1], Cubic) and len(segments) > 2:
        segments = segments[:-1]
    for segment in segments:
        numbers = " ".join(f"{_number(x)} {_number(y)}" for x, y in segment[1:])
        parts.append(f"{numbers} {'c' if isinstance(segment, Cubic) else 'l'}")
    if path.closed:
        parts.append("h")
    return " ".join(parts)


def _box(path: Path) -> str:
    """An upright rectangle in one operator, run through the same way; empty for other paths."""
    corners = list(path.nodes())[:4]
    if not path.closed or len(path.segments) != 4:
        return ""
    if any(isinstance(segment, Cubic) for segment in path.segments):
        return ""
    if corners[0].y != corners[1].y:
        corners = [*corners[1:], corners[0]]
    a, b, c, d = corners
    if a.y != b.y or b.x != c.x or c.y != d.y or d.x != a.x:
        return ""
    return f"{_number(a.x)} {_number(a.y)} {_number(b.x - a.x)} {_number(c.y - b.y)} re"


def _facts(group: Group) -> str:
    facts = []
    for name, value in group.facts:
        if isinstance(value, tuple):
            facts.append(f"/{name} [{' '.join(map(_number, value))}]")
        else:
            facts.append(f"/{name} {_number(value)}")
    return f"<</Type /Layout {' '.join(facts)}>> BDC"


def _matrix(at: Affine, operator: str = "cm") -> str:
    turn = " ".join(_number(value, 9) for value in at[:4])
    return f"{turn} {_number(at.e)} {_number(at.f)} {operator}"


def _number(value: float, places: int = 4) -> str:
    """Millimetres to a tenth of a micrometre, without needless digits."""
    if not math.isfinite(value):
        raise AssertionError("a drawing holds finite numbers only")
    words = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words
