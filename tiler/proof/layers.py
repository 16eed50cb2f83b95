"""The layers of a PDF (optional content), and whether each shows as the file is opened."""

from __future__ import annotations

from dataclasses import dataclass

from pypdf.generic import ArrayObject, DictionaryObject

from tiler.proof.resources import Shelf, entry, solid


@dataclass(frozen=True, slots=True)
class Layer:
    """An optional content group, or several of which one has to be on.

    Args:
        name: As a viewer lists it; empty for several.
        shows: Whether it is on, on screen and in print, when nobody has touched it; of several,
            whether all are.
        members: Keys of the several groups (ISO 32000-1, 8.11.2.2); empty for a single one.
    """

    name: str
    shows: bool
    members: tuple[int, ...] = ()


def read_layers(root: DictionaryObject, shelf: Shelf) -> tuple[Layer, ...]:
    """The layers that are in use, in the order of their keys (ISO 32000-1, 8.11.4)."""
    default = entry(entry(root, "/OCProperties"), "/D")
    starts_on = entry(default, "/BaseState") != "/OFF"
    on = _keys(entry(default, "/ON"), shelf)
    off = _keys(entry(default, "/OFF"), shelf)
    for usage in solid(entry(default, "/AS")) or ():
        event = entry(solid(usage), "/Event")
        groups = entry(solid(usage), "/OCGs")
        for held in list.__iter__(groups) if isinstance(groups, ArrayObject) else ():
            if _switched_off(solid(held), event):
                off.add(shelf.layer(held))

    def shows(key: int) -> bool:
        return (key in on or starts_on) and key not in off

    layers = []
    for key, group in enumerate(shelf.layers):
        members = shelf.members.get(key, ())
        layers.append(
            Layer("", all(map(shows, members)), members)
            if members
            else Layer(str(entry(group, "/Name") or ""), shows(key))
        )
    return tuple(layers)


def _keys(groups: object, shelf: Shelf) -> set[int]:
    if not isinstance(groups, ArrayObject):
        return set()
    return {shelf.layer(held) for held in list.__iter__(groups)}


def _switched_off(group: object, event: object) -> bool:
    usage = entry(group, "/Usage")
    printing = entry(entry(usage, "/Print"), "/PrintState") == "/OFF"
    viewing = entry(entry(usage, "/View"), "/ViewState") == "/OFF"
    return (event == "/Print" and printing) or (event == "/View" and viewing)
