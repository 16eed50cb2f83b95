"""Every word that a pattern file and a drawing may say is used in a demo: one row for each.

The rows are those of the table in demo_pieces/README.md.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pytest

from tests.demos import DEMO_PIECES, DEMOS, traced_demo
from tiler.pattern.model import Edge, Lay, Lies, Part, Pattern, Piece, Role, Side
from tiler.pattern.wishes import (
    CheckCloth,
    DartWish,
    Finish,
    FisheyeWish,
    MarkWish,
    NotchShape,
    NotchWish,
    Paper,
)


class Used(NamedTuple):
    """A feature and where it is used."""

    feature: str
    demo: str
    name: str
    holds: Callable[[Piece], bool]


def edge(piece: Piece, letter: str) -> Edge:
    return next(each for each in piece.outlines[0].edges if each.letter == letter)


def notch(holds: Callable[[NotchWish], bool]) -> Callable[[Piece], bool]:
    return lambda piece: any(holds(wish) for wish in piece.wishes.notches)


def dart(holds: Callable[[DartWish], bool]) -> Callable[[Piece], bool]:
    return lambda piece: any(
        isinstance(wish, DartWish) and holds(wish) for wish in piece.wishes.darts
    )


def mark(holds: Callable[[MarkWish], bool]) -> Callable[[Piece], bool]:
    return lambda piece: any(holds(wish) for wish in piece.wishes.marks)


def drawn(role: Role) -> Callable[[Piece], bool]:
    return lambda piece: any(
        each.role is role for each in (*piece.lines, *piece.marks, *piece.outlines)
    )


def lay(kind: Lay) -> Callable[[Piece], bool]:
    return lambda piece: any(cut.lay is kind for cut in piece.cuts)


def styled(letters: dict[str, str]) -> Callable[[Piece], bool]:
    return lambda piece: {w.style: "".join(w.edges) for w in piece.wishes.styles} == letters


def said(text: str) -> Callable[[Piece], bool]:
    """What the model no longer tells apart is looked for in the pattern file."""
    return lambda piece: text in words(piece)


def words(piece: Piece) -> str:
    demo = next(demo for demo in DEMOS if piece in traced_demo(demo).pieces)
    tables = (DEMO_PIECES / demo / "pattern.toml").read_text("utf-8").split("[[piece]]")
    return next(table for table in tables if f'drawing = "{piece.drawing}"' in table)


def line_of(piece: Piece, role: Role, style: str) -> bool:
    return any(line.role is role and line.style == style for line in piece.lines)


USED = [
    Used("traced stitch line", "smock", "Front", drawn(Role.STITCH)),
    Used("traced cut line, said by the drawing", "trousers", "Knee patch", drawn(Role.CUT)),
    Used("traced cut line, said by the file", "apron", "Neck strap",
         lambda p: drawn(Role.CUT)(p) and said('traced = "cut"')(p)),
    Used("stitch line inside a cut line", "trousers", "Knee patch",
         lambda p: p.wishes.stitch_line),
    Used("allowance of the pattern", "smock", "Sleeve",
         lambda p: p.allowance == 15 and "allowance =" not in words(p).split("hem")[0]),
    Used("allowance of a piece", "smock", "Patch pocket", lambda p: p.allowance == 12),
    Used("allowance of an edge", "smock", "Front", lambda p: edge(p, "B").allowance == 10),
    Used("hem as a letter", "smock", "Sleeve",
         lambda p: edge(p, "D").lies is Lies.HEM and said('hem = "D"')(p)),
    Used("hem as a table", "smock", "Front",
         lambda p: edge(p, "F").lies is Lies.HEM and edge(p, "F").allowance == 30),
    Used("several hems", "apron", "Body",
         lambda p: [edge(p, letter).allowance for letter in "BDE"] == [40, 20, 30]),
    Used("raw edge", "smock", "Front neck facing", lambda p: edge(p, "D").lies is Lies.RAW),
    Used("finish: mitre", "apron", "Body", lambda p: edge(p, "E").finish is Finish.MITRE),
    Used("finish: square", "smock", "Front", lambda p: edge(p, "C").finish is Finish.SQUARE),
    Used("finish: reflected", "smock", "Patch pocket",
         lambda p: edge(p, "A").finish is Finish.REFLECTED),
    Used("corner mark", "trousers", "Front",
         lambda p: edge(p, "D").path.end == edge(p, "E").path.start
         and len(p.outlines[0].edges) == 6),
    Used("fold drawn", "smock", "Front",
         lambda p: edge(p, "A").lies is Lies.FOLD and "fold =" not in words(p)),
    Used("fold said", "smock", "Back",
         lambda p: edge(p, "A").lies is Lies.FOLD and said('fold = "A"')(p)),
    Used("fold line inside", "trousers", "Waistband", drawn(Role.FOLD)),
    Used("printed whole", "apron", "Bib pocket", lambda p: p.wishes.paper is Paper.WHOLE),
    Used("cut on the fold", "smock", "Front", lay(Lay.FOLD)),
    Used("cut as a pair", "smock", "Sleeve", lay(Lay.PAIR)),
    Used("cut as copies", "hat", "Crown panel", lay(Lay.COPIES)),
    Used("cut from two cloths", "hat", "Brim", lambda p: len({c.cloth for c in p.cuts}) == 2),
    Used("part: front", "smock", "Front", lambda p: p.part is Part.FRONT),
    Used("part: back", "smock", "Back", lambda p: p.part is Part.BACK),
    Used("side", "trousers", "Placket facing", lambda p: p.side is Side.LEFT),
    Used("dart drawn and pressed", "trousers", "Back",
         lambda p: drawn(Role.DART)(p) and p.wishes.press_darts == "D"),
    Used("dart wished, width there", "apron", "Tool pocket", dart(lambda d: not d.gives)),
    Used("dart of which the half shows one side", "apron", "Tool pocket",
         dart(lambda d: d.at.fraction == 1)),
    Used("dart wished, an edge gives", "trousers", "Back",
         dart(lambda d: d.gives == "B" and d.blend == 150)),
    Used("dart off a check cloth", "trousers", "Back",
         dart(lambda d: isinstance(d.intake, CheckCloth))),
    Used("dart that leans", "trousers", "Back", dart(lambda d: d.slant != 0)),
    Used("dart with two tips", "smock", "Back",
         lambda p: any(isinstance(wish, FisheyeWish) for wish in p.wishes.darts)),
    Used("notch by length", "smock", "Sleeve", notch(lambda n: bool(n.at and n.at.length))),
    Used("notch by share", "smock", "Front", notch(lambda n: bool(n.at and n.at.fraction))),
    Used("notch from the end", "smock", "Sleeve", notch(lambda n: bool(n.at and n.at.from_end))),
    Used("notch that meets", "smock", "Back", notch(lambda n: str(n.meets) == "Front.E")),
    Used("notch that meets its own piece", "smock", "Sleeve",
         notch(lambda n: str(n.meets) == "Sleeve.C")),
    Used("double notch, said", "smock", "Sleeve", notch(lambda n: n.count == 2)),
    Used("notch drawn", "trousers", "Front", drawn(Role.NOTCH)),
    Used("wedge, for the pattern", "apron", "Body",
         lambda p: p.wishes.notch_shape is NotchShape.WEDGE),
    Used("wedge, for a notch", "hat", "Brim", notch(lambda n: n.shape is NotchShape.WEDGE)),
    Used("slit, for the pattern", "trousers", "Front",
         lambda p: p.wishes.notch_shape is NotchShape.SLIT),
    Used("row of buttons", "trousers", "Placket underlap",
         mark(lambda m: m.kind == "button" and m.count == 3 and m.apart == 60)),
    Used("row of buttonholes", "trousers", "Placket facing",
         mark(lambda m: m.kind == "buttonhole" and m.count == 3 and m.at.from_end)),
    Used("row of drill marks", "apron", "Body", mark(lambda m: m.kind == "drill")),
    Used("button drawn", "smock", "Front", drawn(Role.BUTTON)),
    Used("buttonhole by share", "smock", "Seed pocket",
         mark(lambda m: m.kind == "buttonhole" and m.at.fraction == 0.5)),
    Used("drill marks drawn", "smock", "Front", drawn(Role.DRILL)),
    Used("pocket lines", "smock", "Front", drawn(Role.POCKET)),
    Used("inside lines", "apron", "Body", drawn(Role.INSIDE)),
    Used("grain drawn", "smock", "Front", lambda p: p.grain is not None),
    Used("grain along the fold", "smock", "Back",
         lambda p: p.wishes.grain is not None and not p.wishes.grain.along),
    Used("grain along an edge", "apron", "Waist tie",
         lambda p: p.wishes.grain is not None and p.wishes.grain.along == "A"),
    Used("grain across an edge", "apron", "Armhole facing",
         lambda p: p.wishes.grain is not None and p.wishes.grain.turn == 90),
    Used("grain on the bias", "hat", "Inner band",
         lambda p: p.wishes.grain is not None and p.wishes.grain.turn == 45),
    Used("two styles", "hat", "Brim", styled({"wide": "B", "narrow": "B"})),
    Used("two styles that share edges", "trousers", "Front", styled({"long": "F", "cropped": "F"})),
    Used("three styles, two share a line", "smock", "Sleeve",
         lambda p: styled({"long": "D", "jacket": "D", "short": "D"})(p)
         and line_of(p, Role.STITCH, "short") and not line_of(p, Role.STITCH, "jacket")),
    Used("three styles, two others share one", "smock", "Front",
         lambda p: line_of(p, Role.STITCH, "jacket") and not line_of(p, Role.STITCH, "short")),
    Used("names of edges", "smock", "Front", lambda p: all(e.name for e in p.outlines[0].edges)),
    Used("notes", "smock", "Front", lambda p: bool(p.notes)),
]  # fmt: skip


@pytest.mark.parametrize("used", USED, ids=lambda used: used.feature)
def test_the_feature_is_used(used: Used) -> None:
    (piece,) = (p for p in traced_demo(used.demo).pieces if p.name == used.name)
    assert used.holds(piece)


OF_A_PATTERN: list[tuple[str, str, Callable[[Pattern], bool]]] = [
    ("joined", "smock", lambda p: p.joined == (("Front neck facing", "Back neck facing"),)),
    ("ease", "smock", lambda p: any(seam.ease == (15.0, 15.0) for seam in p.seams)),
    ("ease as a range", "hat", lambda p: any(s.ease[0] < s.ease[1] for s in p.seams)),
    ("several edges on a side", "smock", lambda p: any(len(seam.first) == 2 for seam in p.seams)),
    ("an edge that comes twice", "trousers",
     lambda p: any(len(set(seam.first)) < len(seam.first) for seam in p.seams)),
    ("times", "hat", lambda p: any(seam.times == (6, 4) for seam in p.seams)),
    ("seam of a piece with itself", "smock",
     lambda p: any(s.first[0].piece == s.second[0].piece for s in p.seams)),
    ("seam of an edge with itself", "hat", lambda p: any(s.first == s.second for s in p.seams)),
    ("names of seams", "smock", lambda p: all(seam.name for seam in p.seams)),
    ("stretch of cloths", "smock", lambda p: ("main", 0.0) in p.cloth_stretch),
    ("traced stretch", "smock", lambda p: p.traced_stretch == 0.0),
    ("traced from", "smock", lambda p: bool(p.traced_from)),
    ("order of sewing", "smock", lambda p: len(p.handover.sewing) == 7),
    ("notions", "trousers", lambda p: "Four flat buttons of 17 mm" in p.handover.notions),
    ("finished measurements", "smock",
     lambda p: any(m.name == "chest girth" for m in p.handover.finished)),
    ("finished measurements of a style", "hat",
     lambda p: {m.style for m in p.handover.finished} == {"", "wide", "narrow"}),
    ("nap", "trousers", lambda p: p.handover.cloth("main").nap is True),
    ("shrinkage", "apron", lambda p: p.handover.cloth("main").shrinkage == (0.04, 0.02)),
    ("width of a cloth", "smock", lambda p: p.handover.cloth("main").width == 1500),
    ("cords", "apron", lambda p: p.handover.cords),
    ("wearer", "smock", lambda p: p.handover.wearer == "adult"),
    ("licence", "smock", lambda p: bool(p.handover.licence)),
    ("styles", "smock", lambda p: [name for name, _ in p.styles] == ["long", "short", "jacket"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("demo", "holds"), [row[1:] for row in OF_A_PATTERN], ids=[row[0] for row in OF_A_PATTERN]
)
def test_the_feature_of_a_pattern_is_used(demo: str, holds: Callable[[Pattern], bool]) -> None:
    assert holds(traced_demo(demo))


def test_the_readme_names_every_feature() -> None:
    readme = (DEMO_PIECES / "README.md").read_text("utf-8")
    rows = [*(used.feature for used in USED), *(row[0] for row in OF_A_PATTERN)]
    assert [feature for feature in rows if f"| {feature} |" not in readme] == []
