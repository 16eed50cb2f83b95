"""Values as they are written into a pattern file, and in which order keys stand."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from tiler.intake.tomlwords import toml_key, toml_string
from tiler.output.editing.nodes import Path
from tiler.output.folder import toml

#: Tables of the whole file that stand under headers of their own, in this order.
HEADED = ("cloth", "stretch", "style", "finished", "cutting")
#: Lists of the whole file whose tables stand under headers of their own.
BLOCKS = ("piece", "seam", "placed")
_PLACE = ("edge", "beside", "at", "from")
_ORDERS: Mapping[str, Sequence[str]] = {
    "": (
        *("title", "maker", "version", "about", "allowance", "traced", "traced_from"),
        *("traced_stretch", "notch", "stitch_line", "joined", "keep_together", "address"),
        *("licence", "language", "wearer", "cords", "small_parts", "notions", "sewing"),
    ),
    "piece": (
        *("name", "drawing", "points", "layer", "part", "side", "traced", "cut", "paper"),
        *("allowance", "fold", "grain", "allowances", "hem", "raw", "finish", "names"),
        *("styles", "press_darts", "stitch_line", "darts", "notches", "marks", "notes"),
    ),
    "seam": ("name", "join", "ease", "times", "turned", "match"),
    "placed": ("on", "orientation", "margin", "overlap", "styles", "pieces"),
    "cut": ("count", "cloth", "lay"),
    "hem": ("edge", "allowance", "finish"),
    "grain": ("along", "turn"),
    "notches": (*_PLACE, "meets", "count", "shape"),
    "marks": ("kind", *_PLACE, "inside", "size", "count", "apart"),
    "darts": (
        *_PLACE,
        *("inside", "length", "intake", "lengths", "cloth", "pressed", "gives", "blend", "slant"),
    ),
    "cutting": ("avoid", "width", "nap", "shrinkage", "repeat"),
}
#: A list of texts that is no longer (characters) stays on its line.
_SHORT = 72
#: Tables whose keys are letters of edges.
_LETTERED = ("names", "allowances", "finish")


def spelled(value: object, key: str = "") -> str:
    """A value as TOML.

    Args:
        value: Text, a truth, a number, a list or a table, as a TOML parser gives them.
        key: The key of a line of its own, on which a long list is broken; empty inside another
            value.
    """
    match value:
        case bool():
            return toml.truth(value)
        case str():
            return toml_string(value)
        case int():
            return str(value)
        case list():
            values = [spelled(each) for each in value]
            line = f"[{', '.join(values)}]"
            short = len(line) <= _SHORT and not any(isinstance(each, dict) for each in value)
            return toml.listed(values, key) if key and not short else line
        case dict():
            if not value:
                return "{}"
            return toml.inline([(name, spelled(each)) for name, each in value.items()])
    raise AssertionError(f"{type(value).__name__} has no place in a pattern file")


def statement(key: str, value: object) -> str:
    """A line ``key = value``, without its end."""
    return f"{toml_key(key)} = {spelled(value, key)}"


def said(value: object) -> str:
    """A value as it is shown to somebody: text as it is, nothing for None."""
    if value is None:
        return ""
    return value if isinstance(value, str) else spelled(value)


def mark(value: object) -> str:
    """The same text for the same value, whatever the order of its keys."""
    return json.dumps(value, sort_keys=True, ensure_ascii=True, default=str)


def behind(path: Path, key: str, keys: Sequence[str]) -> int:
    """How many of the keys of a table stand before a new one.

    Args:
        path: Of the table.
        key: The new one.
        keys: Those that it has, in the order of the file.
    """
    order = _order(path, [*keys, key])
    if key not in order:
        return len(keys)
    before = order[: order.index(key)]
    places = [number for number, each in enumerate(keys) if each in before]
    if places:
        return places[-1] + 1
    after = order[order.index(key) :]
    return next((number for number, each in enumerate(keys) if each in after), len(keys))


def _order(path: Path, keys: Sequence[str]) -> Sequence[str]:
    names = [part for part in path if isinstance(part, str)]
    if len(names) == 3 and names[-1] == "cloth":
        return ("flat", "sewn", "repeats")
    if names and names[-1] in _LETTERED and len(names) == 2:
        # Letters in the order of the alphabet, where the maker wrote them so.
        return sorted(keys) if list(keys[:-1]) == sorted(keys[:-1]) else ()
    if len(names) == 2 and names[0] == "cutting":
        return _ORDERS["cutting"]
    return _ORDERS.get(names[-1] if names else "", ())
