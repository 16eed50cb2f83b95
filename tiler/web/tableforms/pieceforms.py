"""Changes that the forms of a piece and of the whole pattern ask for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.output.editing.changes import (
    Change,
    ClothFact,
    ClothSays,
    ClothStretches,
    CutWords,
    FinishedMeasure,
    Group,
    PatternLists,
    PatternSays,
    PieceCuts,
    PieceGrain,
    PieceNamed,
    PieceNotes,
    PieceSays,
    StyleSays,
)
from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.web.tableforms.typed import Typed

_TRUTHS = {"yes": True, "no": False}
_TEXTS = ("title", "maker", "version", "about", "traced_from", "address", "language")
_CHOICES = ("wearer", "notch", "traced")


def piece(typed: Typed, name: str) -> list[Change]:
    """All that was changed of one piece, its name last."""
    found: list[Change] = []
    for key in ("part", "side", "paper", "traced"):
        if typed.is_new(key):
            found.append(PieceSays(name, key, typed.text(key) or None))
    if typed.is_new("allowance"):
        found.append(PieceSays(name, "allowance", typed.length("allowance")))
    if any([typed.is_new("along"), typed.is_new("turn")]):
        found.append(PieceGrain(name, typed.text("along") or None, typed.angle("turn")))
    if typed.is_new("notes"):
        found.append(PieceNotes(name, typed.texts("notes")))
    if typed.is_new("piece_name"):
        found.append(PieceNamed(name, typed.text("piece_name")))
    return found


def cuts(typed: Typed, name: str) -> list[Change]:
    """How a piece is cut, line by line."""
    lines: list[CutWords] = []
    for number in range(typed.how_many("count.")):
        count = typed.count(f"count.{number}")
        if count:
            lay = typed.text(f"lay.{number}")
            lines.append(CutWords(count, lay, typed.text(f"cloth.{number}")))
    return [PieceCuts(name, tuple(lines))]


def whole(typed: Typed) -> list[Change]:
    """What is said of the whole pattern."""
    found: list[Change] = []
    for key in (*_TEXTS, *_CHOICES):
        if typed.is_new(key):
            found.append(PatternSays(key, typed.text(key) or None))
    if typed.is_new("allowance"):
        found.append(PatternSays("allowance", typed.length("allowance")))
    if typed.is_new("traced_stretch"):
        found.append(PatternSays("traced_stretch", typed.share("traced_stretch")))
    for key in ("cords", "small_parts", "stitch_line"):
        if typed.is_new(key):
            found.append(PatternSays(key, _TRUTHS.get(typed.text(key))))
    for key in ("licence", "notions", "sewing"):
        if typed.is_new(key):
            found.append(PatternLists(key, typed.texts(key)))
    return found


def cloth(typed: Typed) -> list[Change]:
    """A cloth, and what is known of it."""
    name = typed.text("cloth")
    if not name:
        raise PatternError("the cloth has no name", remedy="Give it a short one, such as lining.")
    if typed.text("do") == "remove":
        return [ClothSays(name, None)]
    found: list[Change] = []
    if typed.is_new("words"):
        found.append(ClothSays(name, typed.text("words")))
    if typed.is_new("stretch"):
        found.append(ClothStretches(name, typed.share("stretch")))
    if typed.is_new("width"):
        found.append(ClothFact(name, "width", typed.length("width")))
    if typed.is_new("avoid"):
        found.append(ClothFact(name, "avoid", typed.text("avoid") or None))
    if typed.is_new("nap"):
        found.append(ClothFact(name, "nap", _TRUTHS.get(typed.text("nap"))))
    if any([typed.is_new("shrinks_along"), typed.is_new("shrinks_across")]):
        both = typed.share("shrinks_along"), typed.share("shrinks_across")
        found.append(ClothFact(name, "shrinkage", _both(*both, "0 %")))
    if any([typed.is_new("repeat_along"), typed.is_new("repeat_across")]):
        both = typed.length("repeat_along"), typed.length("repeat_across")
        found.append(ClothFact(name, "repeat", _both(*both, "0 mm")))
    return found


def style(typed: Typed) -> list[Change]:
    """A style and its words."""
    name = typed.text("style")
    if not name:
        raise PatternError("the style has no name", remedy="Give it a short one, such as long.")
    return [StyleSays(name, None if typed.text("do") == "remove" else typed.text("words"))]


def finished(typed: Typed) -> list[Change]:
    """A measurement of the finished garment: one length, or one for each style."""
    name = typed.text("measure")
    if not name:
        raise PatternError("the measurement has no name", remedy='Write "chest girth", or another.')
    if typed.text("do") == "remove":
        return [FinishedMeasure(name, None)]
    own = [
        (style, length)
        for number, style in enumerate(typed.all("styles"))
        if (length := typed.length(f"length.{number}"))
    ]
    value = tuple(own) if own else typed.length("length")
    if not value:
        raise PatternError("the measurement has no length", where=name, remedy="Give one.")
    return [FinishedMeasure(name, value)]


def group(typed: Typed) -> list[Change]:
    """Pieces joined on paper, or kept on one sheet."""
    key = typed.text("group")
    if key not in ("joined", "keep_together"):
        raise PatternError("the form is not complete", remedy="Open the page again.")
    names = () if typed.text("do") == "remove" else typed.all("names")
    return [Group(key, typed.all("before"), names)]


def _both(along: str | None, across: str | None, none: str) -> str | tuple[str, str] | None:
    if not along and not across:
        return None
    if along == across and along:
        return along
    return along or none, across or none
