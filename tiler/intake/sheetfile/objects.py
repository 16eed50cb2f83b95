"""pypdf's objects, followed to what they stand for."""

from __future__ import annotations

from typing import Any

from pypdf.generic import DictionaryObject, IndirectObject, NullObject


def solid(found: object) -> Any:
    """The object itself where a reference to it is given; None for null."""
    if isinstance(found, IndirectObject):
        found = found.get_object()
    return None if found is None or isinstance(found, NullObject) else found


def entry(holder: object, key: str) -> Any:
    """A dictionary's entry, followed to the object itself; None when there is none."""
    if not isinstance(holder, DictionaryObject) or key not in holder:
        return None
    return solid(holder.raw_get(key))
