"""What the names in a content stream stand for, read from pypdf's objects."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    StreamObject,
    TextStringObject,
)

from tiler.intake.sheetfile.objects import entry, solid
from tiler.proof.pen import Graphics
from tiler.proof.tokens import Name, Operand

_DEVICE_SPACES = {
    "/DeviceGray": "gray",
    "/CalGray": "gray",
    "/G": "gray",
    "/DeviceRGB": "rgb",
    "/CalRGB": "rgb",
    "/RGB": "rgb",
    "/DeviceCMYK": "cmyk",
    "/CMYK": "cmyk",
}
_BY_PARTS = {1: "gray", 3: "rgb", 4: "cmyk"}
#: Blend modes in which a dark line on paper stays a dark line (ISO 32000-1, 11.3.5).
_PLAIN_BLENDS = ("/Normal", "/Compatible", "/Multiply", "/Darken")
_DEEPEST = 8
_MOST_MEMBERS = 100


def number(found: object) -> float | None:
    """A number, or None when it is anything else."""
    found = solid(found)
    if isinstance(found, (int, float)) and not isinstance(found, bool):
        return float(found)
    return None


@dataclass
class Shelf:
    """Keys for the forms and layers of one document, given out as they are met."""

    forms: list[StreamObject] = field(default_factory=list)
    layers: list[DictionaryObject] = field(default_factory=list)
    keys: dict[tuple[str, object], int] = field(default_factory=dict)
    #: Key of a membership in several layers -> the keys of those.
    members: dict[int, tuple[int, ...]] = field(default_factory=dict)

    def form(self, held: object, form: StreamObject) -> int:
        """The key of a form, the same wherever it is used."""
        return self._key("form", held, form, self.forms)

    def layer(self, held: object) -> int:
        """The key of an optional content group, or of a membership in any of several; else -1.

        A membership dictionary of a single group counts as that group.
        """
        layer = solid(held)
        if not isinstance(layer, DictionaryObject):
            return -1
        if entry(layer, "/Type") == "/OCMD":
            return self._membership(held, layer)
        return self._key("layer", held, layer, self.layers)

    def _membership(self, held: object, said: DictionaryObject) -> int:
        groups = said.raw_get("/OCGs") if "/OCGs" in said else None
        found = solid(groups)
        several = list(list.__iter__(found)) if isinstance(found, ArrayObject) else [groups]
        if "/VE" in said or not several or len(several) > _MOST_MEMBERS:
            return -1
        if any(entry(solid(group), "/Type") != "/OCG" for group in several):
            return -1
        policy = entry(said, "/P")
        if len(several) == 1:
            return self.layer(several[0]) if policy in (None, "/AnyOn", "/AllOn") else -1
        if policy not in (None, "/AnyOn"):
            return -1
        keys = tuple(self.layer(group) for group in several)
        key = self._key("layer", held, said, self.layers)
        self.members[key] = keys
        return key

    def _key(self, kind: str, held: object, thing: Any, things: list[Any]) -> int:
        where = (held.idnum, held.generation) if isinstance(held, IndirectObject) else id(thing)
        name = (kind, where)
        if name not in self.keys:
            self.keys[name] = len(things)
            things.append(thing)
        return self.keys[name]


class PdfResources:
    """A /Resources dictionary."""

    def __init__(self, resources: object, shelf: Shelf) -> None:
        self._resources = solid(resources)
        self._shelf = shelf
        self._graphics: dict[str, Graphics] = {}

    def form(self, name: str) -> int | None:
        """Key of a form; None when the name is a picture."""
        held = self._held("/XObject", name)
        thing = solid(held)
        if not isinstance(thing, StreamObject):
            raise ValueError(f"no form or picture is called {name}")
        kind = entry(thing, "/Subtype")
        if kind == "/Image":
            return None
        if kind != "/Form":
            raise ValueError(f"{name} is neither a form nor a picture")
        return self._shelf.form(held, thing)

    def graphics(self, name: str) -> Graphics:
        """A named graphics state."""
        if name not in self._graphics:
            said = solid(self._held("/ExtGState", name))
            mask, blend = entry(said, "/SMask"), entry(said, "/BM")
            dash = entry(said, "/D")
            lengths = solid(list.__getitem__(dash, 0)) if isinstance(dash, ArrayObject) else None
            self._graphics[name] = Graphics(
                width=number(entry(said, "/LW")),
                alpha=number(entry(said, "/CA")),
                fill_alpha=number(entry(said, "/ca")),
                masked=None if mask is None else mask != "/None",
                blended=None if blend is None else blend not in _PLAIN_BLENDS,
                dash=None if lengths is None else [number(length) or 0.0 for length in lengths],
            )
        return self._graphics[name]

    def space(self, name: str) -> str:
        """The kind of a named colour space: ``gray``, ``rgb``, ``cmyk`` or ``other``."""
        space = _DEVICE_SPACES.get(f"/{name}")
        return space or self._space(self._held("/ColorSpace", name))

    def properties(self, name: str) -> dict[str, Operand]:
        """A named property list; an optional content group has its key under ``layer``."""
        held = self._held("/Properties", name)
        said = solid(held)
        if entry(said, "/Type") in ("/OCG", "/OCMD"):
            return {"layer": float(self._shelf.layer(held))}
        plain = _plain(said, 0)
        if not isinstance(plain, dict):
            raise ValueError(f"no property list is called {name}")
        plain.pop("layer", None)
        return plain

    def _held(self, kind: str, name: str) -> object:
        kinds = entry(self._resources, kind)
        for key in (f"/{name}", name):
            if isinstance(kinds, DictionaryObject) and key in kinds:
                return kinds.raw_get(key)
        return None

    def _space(self, held: object) -> str:
        space = solid(held)
        if isinstance(space, NameObject):
            return _DEVICE_SPACES.get(space, "other")
        if isinstance(space, ArrayObject) and len(space) > 1:
            kind = solid(list.__getitem__(space, 0))
            if kind == "/ICCBased":
                parts = number(entry(solid(list.__getitem__(space, 1)), "/N"))
                return _BY_PARTS.get(int(parts or 0), "other")
            return _DEVICE_SPACES.get(str(kind), "other")
        return "other"


def _plain(found: object, depth: int) -> Operand:
    found = solid(found)
    if depth > _DEEPEST:
        return None
    if isinstance(found, NameObject):
        return Name(found[1:])
    if isinstance(found, (TextStringObject, ByteStringObject)):
        return b""
    if isinstance(found, DictionaryObject):
        return {key[1:]: _plain(found.raw_get(key), depth + 1) for key in found}
    if isinstance(found, ArrayObject):
        return [_plain(value, depth + 1) for value in list.__iter__(found)]
    return number(found)
