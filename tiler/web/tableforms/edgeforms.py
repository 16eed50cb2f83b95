"""Changes that the forms of an edge ask for: itself, its notches, darts and seams."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from tiler.output.editing.changes import (
    AddEntry,
    AddSeam,
    Change,
    ChangeEntry,
    ChangeSeam,
    DartWords,
    EdgeAllowance,
    EdgeFinish,
    EdgeLies,
    EdgeNamed,
    FisheyeWords,
    MarkWords,
    NotchWords,
    RemoveEntry,
    RemoveSeam,
    SeamWords,
    StyleEdges,
)
from tiler.output.editing.entries import Words
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies

if TYPE_CHECKING:
    from tiler.web.tableforms.typed import Typed

LISTS = ("notches", "darts", "marks")


def edge(typed: Typed, piece: str) -> list[Change]:
    """All that was changed of one edge."""
    letter = typed.text("edge")
    found: list[Change] = []
    new = {name: typed.is_new(name) for name in ("lies", "allowance", "finish", "name")}
    allowance, finish = typed.length("allowance"), typed.text("finish") or None
    if new["lies"]:
        try:
            lies = Lies(typed.text("lies"))
        except ValueError:
            raise PatternError("nothing is chosen", remedy="Choose what lies there.") from None
        # What the edge had as another kind of edge does not go along.
        own = allowance if new["allowance"] else None
        ending = finish if new["finish"] else None
        found.append(EdgeLies(piece, letter, lies, own, ending))
    else:
        if new["allowance"]:
            found.append(EdgeAllowance(piece, letter, allowance))
        if new["finish"]:
            found.append(EdgeFinish(piece, letter, finish))
    if new["name"]:
        found.append(EdgeNamed(piece, letter, typed.text("name")))
    for number, style in enumerate(typed.all("styles")):
        name = f"style.{number}"
        if typed.is_new(name):
            others = tuple(each for each in typed.all(f"edges.{number}") if each != letter)
            edges = tuple(sorted((*others, letter))) if typed.text(name) else others
            found.append(StyleEdges(piece, style, edges))
    return found


def notch(typed: Typed) -> NotchWords:
    """A notch as its form says it."""
    meets = typed.text("meets")
    start = typed.text("start")
    return NotchWords(
        edge=typed.text("edge"),
        at="" if meets else typed.place("at"),
        start="" if meets else start,
        meets=meets,
        count=typed.count("count"),
        shape=typed.text("shape"),
    )


def dart(typed: Typed) -> DartWords:
    """A dart in an edge; the readings of a checked cloth come before a width that is typed."""
    checked = typed.text("width") == "checked"
    gives = typed.text("gives")
    return DartWords(
        edge=typed.text("edge"),
        at=typed.place("at"),
        length=typed.length("length") or "",
        pressed=typed.text("pressed"),
        start=typed.text("start"),
        intake="" if checked else typed.length("intake") or "",
        flat=(typed.length("flat") or "") if checked else "",
        sewn=(typed.length("sewn") or "") if checked else "",
        repeats=typed.count("repeats") if checked else None,
        gives=gives,
        blend=(typed.length("blend") or "") if gives else "",
        slant=typed.angle("slant"),
    )


def fisheye(typed: Typed) -> FisheyeWords:
    """A dart with two tips."""
    return FisheyeWords(
        beside=typed.text("edge"),
        at=typed.place("at"),
        inside=typed.length("inside") or "",
        intake=typed.length("intake") or "",
        lengths=(typed.length("ahead") or "", typed.length("back") or ""),
        start=typed.text("start"),
    )


def mark(typed: Typed) -> MarkWords:
    """A row of marks."""
    count = typed.count("count")
    return MarkWords(
        kind=typed.text("kind"),
        edge=typed.text("edge"),
        at=typed.place("at"),
        inside=typed.length("inside") or "",
        start=typed.text("start"),
        count=count,
        apart=(typed.length("apart") or "") if (count or 1) > 1 else "",
        size="" if typed.text("kind") == "drill" else typed.length("size") or "",
    )


_WORDS: dict[str, Callable[[Typed], Words]] = {
    "notch": notch,
    "dart": dart,
    "fisheye": fisheye,
    "mark": mark,
}


def entry(typed: Typed, piece: str, kind: str) -> list[Change]:
    """A notch, dart or mark that is added, changed or taken away."""
    if typed.text("do") == "remove":
        key = typed.text("list")
        if key not in LISTS:
            raise PatternError("the form is not complete", remedy="Open the page again.")
        return [RemoveEntry(piece, key, typed.number("number"))]
    words = _WORDS[kind](typed)
    if typed.text("number"):
        return [ChangeEntry(piece, typed.number("number"), words)]
    return [AddEntry(piece, words)]


def seam(typed: Typed) -> list[Change]:
    """A seam that is added, changed or taken away."""
    if typed.text("do") == "remove":
        return [RemoveSeam(typed.number("number"), typed.text("name"))]
    least, most = typed.length("least"), typed.length("most")
    ease = tuple(each for each in (least, most) if each)
    if least and most and least == most:
        ease = (least,)
    times = (typed.count("times1"), typed.count("times2"))
    turned = typed.text("turned")
    words = SeamWords(
        first=typed.all("first"),
        second=typed.all("second"),
        name=typed.text("name"),
        ease=ease,
        times=(times[0] or 1, times[1] or 1) if set(times) - {1, None} else (),
        turned={"yes": True, "no": False}.get(turned),
        match=bool(typed.text("match")),
    )
    if not words.first or not words.second:
        raise PatternError(
            "one side of the seam has no edge", remedy="Choose an edge on both sides."
        )
    if typed.text("number"):
        return [ChangeSeam(typed.number("number"), words)]
    return [AddSeam(words)]
