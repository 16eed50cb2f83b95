"""Reading pattern lines back from a PDF: forms, their layers, and their segments, millimetres."""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject, IndirectObject

MM = 25.4 / 72
Matrix = npt.NDArray[np.float64]
#: From points to millimetres.
PAGE: Matrix = np.array([[MM, 0, 0], [0, MM, 0], [0, 0, 1.0]])


@dataclass
class Form:
    """A form with pattern lines.

    Args:
        number: Its object number in the file.
        layer: The name of its optional content group, behind that of the stretch of content that it
            stands in: ``Brim · narrow``, and ``Brim · narrow + wide`` where one of two has to be
            on. A form without a group of its own has those of what it stands in.
        operators: How often each path operator occurs in its pattern lines.
        segments: Control points (2 or 4, 2) of its pattern lines, in the form's own space.
    """

    number: int
    layer: str
    operators: dict[str, int] = field(default_factory=dict)
    segments: list[Matrix] = field(default_factory=list)


@dataclass
class Use:
    """A form drawn on a page, with the matrix that takes its space to the page in millimetres."""

    form: Form
    at: Matrix


class Reading:
    """All forms of a file with lines in a layer, and where each page uses them."""

    def __init__(self, pdf: bytes) -> None:
        self.reader = PdfReader(io.BytesIO(pdf), strict=True)
        self.forms: dict[int, Form] = {}
        self._read_forms: dict[int, Form] = {}
        self.pages: list[list[Use]] = [
            self._uses(page.get_contents(), page["/Resources"]) for page in self.reader.pages
        ]

    def _uses(
        self,
        content: ContentStream | None,
        resources: DictionaryObject,
        at: Matrix = PAGE,
        outer: str = "",
    ) -> list[Use]:
        uses: list[Use] = []
        stack: list[Matrix] = []
        # The layers of the stretches of content that are open; None for marks of the page.
        stretches: list[str | None] = []
        assert content is not None
        for operands, operator in content.operations:
            if operator in (b"BMC", b"BDC"):
                name = ""
                if operands[0] == "/OC":
                    name = _name(resources["/Properties"][operands[1]])
                stretches.append(None if operands[0] == "/Artifact" else name)
            elif operator == b"EMC":
                stretches.pop()
            elif operator == b"q":
                stack.append(at)
            elif operator == b"Q":
                at = stack.pop()
            elif operator == b"cm":
                at = _matrix(operands) @ at
            elif operator == b"Do":
                reference = resources["/XObject"].raw_get(operands[0])
                assert isinstance(reference, IndirectObject)
                form = reference.get_object()
                own = _name(form["/OC"]) if "/OC" in form else ""
                layer = " · ".join(name for name in (outer, *stretches, own) if name)
                if not layer or None in stretches:
                    continue
                inner = _matrix(form.get("/Matrix", [1, 0, 0, 1, 0, 0])) @ at
                found = self._form(reference, layer)
                if found.segments:
                    uses.append(Use(found, inner))
                content_of = ContentStream(form, self.reader)
                uses += self._uses(content_of, form["/Resources"], inner, layer)
        assert stack == []
        return uses

    def _form(self, reference: IndirectObject, layer: str) -> Form:
        if reference.idnum not in self._read_forms:
            form = Form(reference.idnum, layer)
            self._read(form, ContentStream(reference.get_object(), self.reader))
            self._read_forms[reference.idnum] = form
            if form.segments:
                self.forms[reference.idnum] = form
        form = self._read_forms[reference.idnum]
        assert form.layer == layer
        return form

    def _read(self, form: Form, content: ContentStream) -> None:
        marked = 0
        here = first = np.zeros(2)
        pending: list[Matrix] = []
        counted: list[str] = []
        for operands, operator in content.operations:
            name = operator.decode()
            if name in ("BMC", "BDC"):
                marked += 1
            elif name == "EMC":
                marked -= 1
            elif marked:
                continue
            elif name in ("m", "l", "c"):
                points = np.array([float(n) for n in operands]).reshape(-1, 2)
                if name == "m":
                    first = points[0]
                else:
                    pending.append(np.vstack([here, points]))
                here = points[-1]
                counted.append(name)
            elif name == "h":
                if not np.allclose(here, first, atol=1e-9):
                    pending.append(np.vstack([here, first]))
                here = first
                counted.append(name)
            elif name == "S":
                form.segments += pending
                for each in counted:
                    form.operators[each] = form.operators.get(each, 0) + 1
                pending, counted = [], []
            else:
                # Pens, and nothing that would move or clip the lines.
                assert name in {"J", "j", "w", "d", "G", "q", "Q", "cm", "Do"}, name
                if name == "cm":
                    assert [float(n) for n in operands] == [1, 0, 0, 1, 0, 0]
        assert pending == []
        assert marked == 0


def _name(content: DictionaryObject) -> str:
    """A group's name, or the names of those of which one has to be on."""
    if content["/Type"] == "/OCG":
        return str(content["/Name"])
    assert (content["/Type"], content["/P"]) == ("/OCMD", "/AnyOn")
    return " + ".join(str(group.get_object()["/Name"]) for group in content["/OCGs"])


def _matrix(numbers: list[float]) -> Matrix:
    a, b, c, d, e, f = (float(n) for n in numbers)
    return np.array([[a, b, 0], [c, d, 0], [e, f, 1.0]])


def mapped(points: Matrix, at: Matrix) -> Matrix:
    """Points (n, 2) after a matrix."""
    return points @ at[:2, :2] + at[2, :2]
