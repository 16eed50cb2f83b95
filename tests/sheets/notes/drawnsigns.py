"""The kinds of signs that a written PDF really shows, found in its content with pikepdf.

Nothing of the package is used: line widths and dashes (millimetres) are what the key of lines on
the start page shows, forms and marked content are those of the file, and shapes are told by the
operators that draw them.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import pikepdf
from pypdf import PdfReader

#: Width and dashes -> sign, of lines that are the same for all styles.
_LINES = {
    (0.55, ()): "cut",
    (0.3, (4.0, 2.0)): "stitch",
    (0.3, (8.0, 1.6, 1.2, 1.6)): "fold",
    (0.4, (12.0, 2.0, 1.5, 2.0)): "fold_edge",
    (0.5, (0.1, 2.4, 0.1, 1.2)): "pocket",
    (0.5, (0.1, 1.4)): "inside",
    (0.45, ()): "buttonhole",
}


@dataclass
class Shape:
    """A path that is stroked or filled, in the coordinates of its own form.

    Args:
        form: Which form it stands in.
        artifact: Whether it is no line of the pattern.
        width: Of the pen, dashes and grey as they stand in the content.
        drawn: Stroked, else filled.
    """

    form: str
    artifact: bool
    width: float
    dash: tuple[float, ...]
    grey: float
    drawn: bool
    points: list[tuple[float, float]] = field(default_factory=list)
    operators: str = ""
    props: tuple[dict[str, object], ...] = ()

    @property
    def size(self) -> float:
        """The larger side of what it takes, millimetres."""
        xs, ys = zip(*self.points, strict=True)
        return max(max(xs) - min(xs), max(ys) - min(ys))


def signs_in(content: bytes) -> tuple[set[str], set[tuple[float, ...]]]:
    """The names of the signs, and the dashes of the styles' cut lines.

    Args:
        content: A published PDF.
    """
    found: set[str] = set()
    styles: set[tuple[float, ...]] = set()
    with pikepdf.open(io.BytesIO(content)) as document:
        labels = PdfReader(io.BytesIO(content)).page_labels
        pages = list(zip(labels, document.pages, strict=True))
        for label, page in pages:
            shapes = list(_shapes(page))
            found |= set(_measures(shapes))
            if sum(s.operators == "re" and not s.drawn for s in shapes) > 200:
                found.add("code")
            if label in ("start", "map", "taping", "key", "list"):
                continue
            found |= set(_on_pieces(shapes, styles))
            found |= set(_on_pages(shapes))
    found |= set(_worded(content))
    return found, styles


def _measures(shapes: list[Shape]) -> Iterator[str]:
    for shape in shapes:
        for props in shape.props:
            if "/Measure" in props:
                across, up = (float(v) for v in props["/Measure"])  # type: ignore[attr-defined]
                yield "bar" if 0.0 in (across, up) else "squares"


def _on_pieces(shapes: list[Shape], styles: set[tuple[float, ...]]) -> Iterator[str]:
    own = [shape for shape in shapes if not shape.artifact and shape.drawn]
    notches = [shape for shape in own if (shape.width, shape.dash) == (0.5, ())]
    for shape in own:
        pen = shape.width, shape.dash
        if pen in _LINES:
            yield _LINES[pen]
        elif shape.width == 0.55:
            styles.add(shape.dash)
            yield "cut_style"
        elif shape.width == 0.3:
            yield "stitch_style"
        elif shape in notches:
            yield "wedge" if shape.operators.count("l") > 1 else "slit"
        elif pen == (0.35, ()):
            yield _solid(shape)
        else:
            raise AssertionError(f"a line that nobody knows: {pen}")
    for shape in notches:
        for other in notches:
            if other is not shape and other.form == shape.form:
                (ax, ay), (bx, by) = _foot(shape), _foot(other)
                if 0.5 < math.hypot(ax - bx, ay - by) <= 12.0:
                    yield "double"


def _foot(shape: Shape) -> tuple[float, float]:
    """Where a notch stands on the cut line: its start, or the middle between its ends."""
    first, last = shape.points[0], shape.points[-1]
    if shape.operators.count("l") > 1:
        return (first[0] + last[0]) / 2, (first[1] + last[1]) / 2
    return first


def _solid(shape: Shape) -> str:
    """What a thin solid line is: its shape tells."""
    curves, lines = shape.operators.count("c"), shape.operators.count("l")
    closed = "h" in shape.operators
    if curves:
        # A drill mark is a circle of 3 mm; a button is larger, or crossed.
        return "button" if lines > 1 or shape.size > 4.0 else "drill"
    if closed:
        return "fisheye"
    return "grain" if lines == 1 else "dart"


#: Pens of what is no line of the pattern: the page in its sheet beside its name, ticks of a joint
#: and its line, check bars and their ticks, fold arrows and crosses, and the squares.
_PAGE_PENS = {0.08, 0.12, 0.14, 0.15, 0.2, 0.25}


def _on_pages(shapes: list[Shape]) -> Iterator[str]:
    for shape in shapes:
        if not shape.artifact:
            continue
        if shape.drawn and shape.width not in _PAGE_PENS:
            raise AssertionError(f"a mark that nobody knows: {shape.width} {shape.dash}")
        if shape.drawn and shape.dash == (1.2, 1.0):
            yield "trim"
        elif (
            shape.drawn and shape.width == 0.15 and shape.operators == "ml" and shape.form != "page"
        ):
            yield "edge"
        elif shape.drawn and shape.width == 0.14:
            yield "ticks"
        elif not shape.drawn and shape.grey == 0.93:
            yield "band"
        elif shape.drawn and shape.width == 0.2 and shape.operators == "mlll":
            yield "fold_bracket"
        if any("/Point" in props for props in shape.props) and shape.width == 0.2:
            yield "cross"


def _worded(content: bytes) -> Iterator[str]:
    """The map by its heading; a page's name by its size, 14 points at least."""
    reader = PdfReader(io.BytesIO(content))
    for label, page in zip(reader.page_labels, reader.pages, strict=True):
        large: list[str] = []

        def visit(
            text: str, cm: list[float], tm: list[float], font: object, size: float,
            large: list[str] = large,
        ) -> None:  # fmt: skip
            scale = math.hypot(cm[0], cm[1]) * math.hypot(tm[0], tm[1])
            if size * scale >= 13.9:
                large.append(text.strip())

        text = page.extract_text(visitor_text=visit)
        if "Where each page goes" in text or "Where each piece is" in text:
            yield "map"
        if label in large:
            # Reading all other pages would find nothing else.
            yield "tag"
            return


def _shapes(page: pikepdf.Page) -> Iterator[Shape]:
    return _Walk("page", page.obj, False, (0.0, ()), ()).shapes(page)


class _Walk:
    """One content stream, and the forms that it uses."""

    def __init__(
        self,
        name: str,
        owner: pikepdf.Object,
        artifact: bool,
        pen: tuple[float, tuple[float, ...]],
        props: tuple[dict[str, object], ...],
    ) -> None:
        self._name, self._artifact, self._props = name, artifact, props
        self._resources = _inherited(owner, "/Resources")
        self._width, self._dash = pen
        self._grey, self._fill = 0.0, 0.0
        self._stack: list[tuple[float, tuple[float, ...], float, float]] = []
        self._marks: list[tuple[bool, dict[str, object] | None]] = []
        self._paths: list[tuple[list[tuple[float, float]], str]] = []

    def shapes(self, stream: object) -> Iterator[Shape]:
        """Every path that is stroked or filled."""
        for instruction in pikepdf.parse_content_stream(stream):  # type: ignore[arg-type]
            operator, operands = str(instruction.operator), list(instruction.operands)
            if operator in ("S", "f"):
                for points, operators in self._paths:
                    yield self._shape(points, operators, drawn=operator == "S")
                self._paths = []
            elif operator == "Do":
                form = self._resources["/XObject"][str(operands[0])]
                pen = self._width, self._dash
                inner = _Walk(f"{self._name}{operands[0]}", form, self._aside, pen, self._facts)
                yield from inner.shapes(form)
            else:
                self._follow(operator, operands)

    def _follow(self, operator: str, operands: list[object]) -> None:
        if operator in ("m", "l", "c"):
            values = [float(v) for v in operands]  # type: ignore[arg-type]
            if operator == "m":
                self._paths.append(([], ""))
            points, operators = self._paths[-1]
            points.append((values[-2], values[-1]))
            self._paths[-1] = points, operators + operator
        elif operator == "re":
            x, y, w, h = (float(v) for v in operands)  # type: ignore[arg-type]
            self._paths.append(([(x, y), (x + w, y + h)], "re"))
        elif operator == "h":
            points, operators = self._paths[-1]
            self._paths[-1] = points, operators + "h"
        elif operator == "n":
            self._paths = []
        elif operator == "q":
            self._stack.append((self._width, self._dash, self._grey, self._fill))
        elif operator == "Q":
            self._width, self._dash, self._grey, self._fill = self._stack.pop()
        elif operator in ("BMC", "BDC"):
            said = operands[1] if len(operands) > 1 else None
            told = dict(said.items()) if isinstance(said, pikepdf.Dictionary) else None
            self._marks.append((str(operands[0]) == "/Artifact", told))
        elif operator == "EMC":
            self._marks.pop()
        elif operator == "w":
            self._width = round(float(operands[0]), 3)  # type: ignore[arg-type]
        elif operator == "d":
            self._dash = tuple(round(float(v), 3) for v in operands[0])  # type: ignore[attr-defined]
        elif operator == "G":
            self._grey = round(float(operands[0]), 3)  # type: ignore[arg-type]
        elif operator == "g":
            self._fill = round(float(operands[0]), 3)  # type: ignore[arg-type]

    def _shape(self, points: list[tuple[float, float]], operators: str, *, drawn: bool) -> Shape:
        grey = self._grey if drawn else self._fill
        pen = self._width, self._dash
        return Shape(self._name, self._aside, *pen, grey, drawn, points, operators, self._facts)

    @property
    def _aside(self) -> bool:
        """Whether what is drawn now is no line of the pattern."""
        return self._artifact or any(artifact for artifact, _ in self._marks)

    @property
    def _facts(self) -> tuple[dict[str, object], ...]:
        return self._props + tuple(props for _, props in self._marks if props)


def _inherited(owner: pikepdf.Object, key: str) -> pikepdf.Object:
    while key not in owner:
        owner = owner["/Parent"]
    return owner[key]
