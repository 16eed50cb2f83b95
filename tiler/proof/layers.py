"""The layers of a PDF (optional content), and whether each shows as the file is opened."""

from __future__ import annotations

from dataclasses import dataclass

from pypdf.generic import ArrayObject, DictionaryObject

from tiler.intake.sheetfile.objects import entry, solid
from tiler.proof.resources import Shelf


@dataclass(frozen=True, slots=True)
class Layer:
    """An optional content group, or several of which one has to be on.

    Args:
        name: As a viewer lists it; empty for several.
        shows: Whether it is on, on screen and in print, when nobody has touched it, and nothing in
            the file could turn it off by itself; of several, whether all are.
        members: Keys of the several groups (ISO 32000-1, 8.11.2.2); empty for a single one.
    """

    name: str
    shows: bool
    members: tuple[int, ...] = ()


def read_layers(root: DictionaryObject, shelf: Shelf) -> tuple[Layer, ...]:
    """The layers that are in use or listed, in the order of their keys (ISO 32000-1, 8.11.4)."""
    properties = entry(root, "/OCProperties")
    default = entry(properties, "/D")
    starts_on = entry(default, "/BaseState") != "/OFF"
    on = _keys(entry(default, "/ON"), shelf)
    off = _keys(entry(default, "/OFF"), shelf)
    _keys(entry(properties, "/OCGs"), shelf)
    for usage in solid(entry(default, "/AS")) or ():
        said = solid(usage)
        categories = _items(entry(said, "/Category"))
        for held in _items(entry(said, "/OCGs")):
            if _may_switch_off(solid(held), entry(said, "/Event"), categories):
                off.add(shelf.layer(held))

    def shows(key: int) -> bool:
        wanted = (key in on or starts_on) and key not in off
        # A state for printing is there to be followed, even where /AS does not ask for it.
        return wanted and not _state_is_off(entry(shelf.layers[key], "/Usage"), "Print")

    layers = []
    for key, group in enumerate(shelf.layers):
        members = shelf.members.get(key, ())
        layers.append(
            Layer("", all(map(shows, members)), members)
            if members
            else Layer(str(entry(group, "/Name") or ""), shows(key))
        )
    return tuple(layers)


def _items(found: object) -> list[object]:
    return list(list.__iter__(found)) if isinstance(found, ArrayObject) else []


def _keys(groups: object, shelf: Shelf) -> set[int]:
    return {shelf.layer(held) for held in _items(groups)}


def _state_is_off(usage: object, what: str) -> bool:
    return bool(entry(entry(usage, f"/{what}"), f"/{what}State") == "/OFF")


def _may_switch_off(group: object, event: object, categories: list[object]) -> bool:
    """Whether a viewer that follows a usage application dictionary could turn a group off.

    States are known; magnification, language and user are not, so these could (table 102).
    """
    usage = entry(group, "/Usage")
    known = {"/View": "View", "/Print": "Print", "/Export": "Export"}
    if event in known and _state_is_off(usage, known[str(event)]):
        return True
    names = [str(solid(category)) for category in categories]
    return any(
        _state_is_off(usage, known[name]) if name in known else entry(usage, name) is not None
        for name in names
    )
