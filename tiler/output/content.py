"""Items of a drawing as PDF content, in millimetres under one scaling to points."""

from __future__ import annotations

import hashlib
import math
from typing import TYPE_CHECKING, Any

from tiler.output.catalogue import any_of
from tiler.pattern.affine import Affine
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic
from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Use, Words
from tiler.sheets.lettering import BOLD, REGULAR, width_of

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


class ContentWriter:
    """Draws pages on a reportlab canvas; each reused drawing becomes one form XObject.

    Args:
        canvas: Where to draw.
        layers: Name of each layer -> its optional content group.
    """

    def __init__(self, canvas: Canvas, layers: dict[str, Any]) -> None:
        self._canvas = canvas
        self._layers = layers
        self._memberships: dict[tuple[str, ...], Any] = {}
        self._digest = hashlib.md5(usedforsecurity=False)
        self._forms: dict[int, tuple[str, Drawing]] = {}
        self._pen: Pen | None = None
        self._grey: float | None = None

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
        canvas.showPage()

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
        self._canvas.endForm(Contents=self._stream(drawing))

    def _stream(self, drawing: Drawing) -> Any:
        """The form's content, under the layer that a reader may switch off."""
        from reportlab.pdfbase.pdfdoc import PDFStream

        code = "\n".join(self._canvas._code)
        self._digest.update(code.encode("latin-1"))
        stream = PDFStream(content=code)
        if drawing.layer:
            stream.dictionary["OC"] = self._layers[drawing.layer]
        elif drawing.any_of:
            stream.dictionary["OC"] = self._membership(drawing.any_of)
        return stream

    def _membership(self, names: tuple[str, ...]) -> Any:
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

    def _group(self, group: Group) -> None:
        if group.furniture:
            self._put(f"/Artifact {_facts(group)}" if group.facts else "/Artifact BMC")
        own_state = group.at is not None or group.window is not None
        before = self._pen, self._grey
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
            self._pen, self._grey = before
        if group.furniture:
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
        self._put(" ".join(_path(path) for path in fill.paths) + " f")

    def _words(self, words: Words) -> None:
        canvas = self._canvas
        self._fill_grey(words.grey)
        size = words.size_pt / PT_PER_MM
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
        shift = back * width_of(words.text, words.size_pt, bold=words.bold)
        turn = Affine.turn(words.turn)
        x, y = words.at.x - turn.a * shift, words.at.y - turn.b * shift
        text = canvas.beginText()
        text.setTextTransform(turn.a, turn.b, turn.c, turn.d, x, y)
        text.setFont(BOLD if words.bold else REGULAR, size)
        text.textOut(words.text)
        canvas.drawText(text)

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


def _facts(group: Group) -> str:
    facts = []
    for name, value in group.facts:
        if isinstance(value, tuple):
            facts.append(f"/{name} [{' '.join(map(_number, value))}]")
        else:
            facts.append(f"/{name} {_number(value)}")
    return f"<</Type /Layout {' '.join(facts)}>> BDC"


def _matrix(at: Affine) -> str:
    turn = " ".join(_number(value, 9) for value in at[:4])
    return f"{turn} {_number(at.e)} {_number(at.f)} cm"


def _number(value: float, places: int = 4) -> str:
    """Millimetres to a tenth of a micrometre, without needless digits."""
    if not math.isfinite(value):
        raise AssertionError("a drawing holds finite numbers only")
    words = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words
