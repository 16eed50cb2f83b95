"""Objects of the file that there are many of, written as short as the format allows.

reportlab's own pages and forms carry entries whose values are the defaults, and take most of the
time that writing takes.
"""

from __future__ import annotations

import zlib
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFObject

_REFERENCE_ONLY = "__RefOnly__"


class Stream(PDFObject):  # type: ignore[misc]
    """A content stream (ISO 32000-1, 7.3.8), packed where that makes it shorter.

    Args:
        code: What it holds.
        entries: Of its dictionary, before its length, as they are written.
    """

    def __init__(self, code: bytes) -> None:
        setattr(self, _REFERENCE_ONLY, True)
        self._code = code

    def entries(self, document: Any) -> str:
        """What its dictionary says beside its length."""
        return ""

    def format(self, document: Any) -> bytes:
        """The object as it stands in the file."""
        packed, how = zlib.compress(self._code, 9), "/Filter/FlateDecode"
        if len(packed) + len(how) >= len(self._code):
            packed, how = self._code, ""
        head = f"<<{self.entries(document)}{how}/Length {len(packed)}>>stream\n"
        return head.encode("latin-1") + packed + b"\nendstream\n"


class Form(Stream):
    """A form XObject (ISO 32000-1, 8.10.2); its matrix is the one that moves nothing.

    Args:
        code: What it draws.
        box: Left, bottom, right and top, as they are written.
        forms: Name -> reference of each form that it uses.
        fonts: The fonts that it may name; None where it has no words.
        layer: The optional content that it belongs to, if any.
    """

    def __init__(
        self, code: bytes, box: str, forms: dict[str, Any], fonts: Any = None, layer: Any = None
    ) -> None:
        super().__init__(code)
        self._box, self._forms, self._fonts, self._layer = box, forms, fonts, layer

    def entries(self, document: Any) -> str:
        """What its dictionary says beside its length."""
        used = "".join(f"/{name} {_told(at, document)}" for name, at in self._forms.items())
        resources = f"/XObject<<{used}>>" if used else ""
        if self._fonts is not None:
            resources += f"/Font {_told(self._fonts, document)}"
        layer = "" if self._layer is None else f"/OC {_told(self._layer, document)}"
        kind = "/Type/XObject/Subtype/Form"
        return f"{kind}/BBox[{self._box}]/Resources<<{resources}>>{layer}"


class Box(PDFObject):  # type: ignore[misc]
    """A rectangle that several pages share.

    Args:
        corners: Left, bottom, right and top, as they are written.
    """

    def __init__(self, corners: str) -> None:
        self._corners = corners

    def format(self, document: Any) -> bytes:
        """The object as it stands in the file."""
        return f"[{self._corners}]".encode("latin-1")


class Leaf(PDFObject):  # type: ignore[misc]
    """A page (ISO 32000-1, 7.7.3.3), with what it does not inherit from the tree of pages.

    Args:
        tree: The tree.
        box: Its size.
        content: What it shows.
        unit: How many points one unit of it is (table 30, UserUnit).
    """

    def __init__(self, tree: Any, box: Any, content: Any, unit: int = 1) -> None:
        self._tree, self._box, self._content, self._unit = tree, box, content, unit

    def format(self, document: Any) -> bytes:
        """The object as it stands in the file."""
        tree, box, content = (
            _told(each, document) for each in (self._tree, self._box, self._content)
        )
        unit = f"/UserUnit {self._unit}" if self._unit > 1 else ""
        page = f"<</Type/Page/Parent {tree}/MediaBox {box}{unit}/Contents {content}>>"
        return page.encode("latin-1")


def _told(reference: Any, document: Any) -> str:
    return str(reference.format(document), "latin-1")
