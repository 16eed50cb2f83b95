"""What the forms of an edge show: what the file says, beside what came of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tiler.drafting.walking.measured import SeamWalk, walk_seam
from tiler.drafting.walking.sewn import sewn_length
from tiler.output.editing.change import key_of
from tiler.output.editing.hems import edge_value, letters
from tiler.pattern.errors import BlocksheetError
from tiler.pattern.wishes import EdgeName
from tiler.web.tableforms.found import wish_of

if TYPE_CHECKING:
    from tiler.pattern.model import Edge, Pattern, Piece, Seam
    from tiler.web.asking import Asked
    from tiler.web.tableforms.panel import Shown


@dataclass(frozen=True)
class Entry:
    """A notch, dart or mark that the file asks for.

    Args:
        number: Which one in the file, from 0.
        said: As the file has it.
        edge: The letter that it is counted along.
        open: Whether its form is to be open.
    """

    number: int
    said: dict[str, Any]
    edge: str
    open: bool = False


@dataclass(frozen=True)
class SeamFacts:
    """A seam as its form shows it.

    Args:
        number: Which one in the file, from 0.
        said: As the file has it.
        sides: The names of the edges of both sides.
        ease: The least and the most, as they are written.
        times: How often each side goes into it, as written.
        walk: What came of walking it; None where it could not be walked.
        here: Which side, 0 or 1, the chosen edge is on.
    """

    number: int
    said: dict[str, Any]
    sides: tuple[tuple[str, ...], tuple[str, ...]]
    ease: tuple[str, str]
    times: tuple[str, str]
    walk: SeamWalk | None
    here: int = 0

    @property
    def others(self) -> tuple[str, ...]:
        """The edges across from the chosen one."""
        return self.sides[1 - self.here]


def edge_facts(
    asked: Asked,
    pattern: Pattern,
    piece: Piece,
    file: dict[str, Any],
    said: dict[str, Any],
    shown: Shown,
) -> dict[str, Any]:
    """All that the forms of an edge, or of a thing on it, show."""
    letter = shown.edge
    wish = wish_of(piece, shown.thing, shown.number) if shown.thing else None
    if wish and not letter:
        letter = wish.edge
    edges = {edge.letter: edge for outline in piece.outlines for edge in outline.edges}
    edge = edges.get(letter)
    opened = {wish.key: wish.number} if wish and wish.number is not None else {}
    described = dict(pattern.styles)
    own = said.get("styles", {})
    return {
        "letter": letter,
        "edge": edge,
        "wish": wish,
        "letters": sorted(edges, key=lambda each: (len(each), each)),
        "names": {each.letter: each.name for each in edges.values()},
        "ring": [edge.letter for edge in piece.outlines[0].edges],
        "neighbours": _beside(piece, letter),
        "named_letters": lambda some: [(each, _named(edges, each)) for each in some],
        "allowance": edge_value(said, letter, "allowance") or "",
        "usual": piece.allowance,
        "finish": edge_value(said, letter, "finish") or "",
        "name": said.get("names", {}).get(key_of(said.get("names"), letter), ""),
        "styles": [(name, words, letters(own.get(name))) for name, words in described.items()],
        "notches": _entries(said, "notches", letter, opened),
        "darts": _entries(said, "darts", letter, opened),
        "marks": _entries(said, "marks", letter, opened),
        "seams": seam_facts(pattern, file, EdgeName(piece.name, letter)),
        "all_edges": all_edges(asked, pattern),
        "seam_open": "",
    }


def seam_facts(
    pattern: Pattern, file: dict[str, Any], about: EdgeName | None = None
) -> list[SeamFacts]:
    """The seams of the file; with an edge, those that it is in."""
    found = []
    for number, (said, seam) in enumerate(zip(file.get("seam", []), pattern.seams, strict=False)):
        sides = seam.first, seam.second
        if about is not None and about not in (*seam.first, *seam.second):
            continue
        ease = said.get("ease", "")
        eases = ease if isinstance(ease, list) else [ease, ease]
        times = said.get("times", ["", ""])
        here = 1 if about is not None and about not in seam.first else 0
        names = tuple(map(str, sides[0])), tuple(map(str, sides[1]))
        pair = str(eases[0]), str(eases[-1])
        both = str(times[0]), str(times[-1])
        walk = _walked(pattern, seam) if about is not None else None
        found.append(SeamFacts(number, said, names, pair, both, walk, here))
    return found


def all_edges(asked: Asked, pattern: Pattern) -> list[tuple[str, list[tuple[str, str]]]]:
    """Every edge of every piece: its full name, and what is shown in a list to choose from."""
    found = []
    for piece in pattern.pieces:
        own: dict[str, str] = {}
        for outline in piece.outlines:
            for edge in outline.edges:
                if edge.letter not in own:
                    words = [edge.letter, *([edge.name] if edge.name else [])]
                    words.append(_length(asked, pattern, piece, edge.letter))
                    own[edge.letter] = " · ".join(word for word in words if word)
        found.append((piece.name, [(f"{piece.name}.{each}", own[each]) for each in own]))
    return found


def _length(asked: Asked, pattern: Pattern, piece: Piece, letter: str) -> str:
    try:
        return asked.length(sewn_length(pattern, EdgeName(piece.name, letter), _style(piece)))
    except BlocksheetError:
        return ""


def _style(piece: Piece) -> str:
    return piece.outlines[0].style.split(" + ")[0]


def _walked(pattern: Pattern, seam: Seam) -> SeamWalk | None:
    from tiler.drafting.walking.seams import seam_styles

    try:
        styles = seam_styles(pattern, seam)
        return walk_seam(pattern, seam, styles[0] if styles else "")
    except BlocksheetError:
        return None


def _entries(said: dict[str, Any], key: str, letter: str, opened: dict[str, int]) -> list[Entry]:
    value = said.get(key, [])
    found = []
    for number, each in enumerate(value if isinstance(value, list) else [value]):
        edge = str(each.get("edge", each.get("beside", ""))).upper()
        if edge == letter:
            found.append(Entry(number, each, edge, opened.get(key) == number))
    return found


def _named(edges: dict[str, Edge], letter: str) -> str:
    name = edges[letter].name
    return f"{letter} · {name}" if name else letter


def _beside(piece: Piece, letter: str) -> tuple[str, ...]:
    """The letters of the edges before and behind one."""
    own = [edge.letter for edge in piece.outlines[0].edges]
    if letter not in own:
        return tuple(own)
    at = own.index(letter)
    return tuple(dict.fromkeys((own[at - 1], own[(at + 1) % len(own)])))
