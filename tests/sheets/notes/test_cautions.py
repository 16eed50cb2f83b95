"""A caution appears exactly when its trigger is in the pattern, in every language.

What calls for what is common practice, no source, save where a standard is named.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.demos import DEMOS, pattern_of_demo, traced_demo
from tests.strategies import rectangular
from tiler.job.surfaces import MAT, ROLL, paper_of
from tiler.pattern.affine import Point
from tiler.pattern.handover import Handover, Wearer
from tiler.pattern.model import (
    Cut,
    Edge,
    EdgeName,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
    Seam,
)
from tiler.pattern.path import circle, polyline
from tiler.pattern.wishes import DartWish, MarkWish, Place, Wishes
from tiler.sheets.notes.cautions import ARM, CAUTIONS, cautions_of
from tiler.sheets.words import shipped

LANGUAGES = ("en", "de", "uk")
PAIR, FOLD = (Cut(2, "main", Lay.PAIR),), (Cut(1, "main", Lay.FOLD),)
COPIES = (Cut(3, "main", Lay.COPIES),)


def raw(width: float = 200, height: float = 300, cuts: tuple[Cut, ...] = PAIR) -> Piece:
    """A piece of felt with nothing to sew: all its edges are raw."""
    piece = rectangular("Patch", width, height, cuts=cuts)
    return replace(piece, outlines=(lying(piece.outlines[0], Lies.RAW),))


def lying(ring: Outline, lies: Lies) -> Outline:
    edges = tuple(Edge(edge.letter, edge.path, lies) for edge in ring.edges)
    return Outline(ring.role, edges)


def having(piece: Piece, lies: Lies) -> Piece:
    first, *others = piece.outlines[0].edges
    return replace(
        piece, outlines=(Outline(Role.CUT, (replace(first, lies=lies), *others), style=""),)
    )


def lined(role: Role) -> Piece:
    return replace(raw(), lines=(Line(role, polyline([Point(10, 10), Point(50, 90)])),))


def marked(role: Role) -> Piece:
    return replace(raw(), marks=(Mark(role, Point(50, 50), circle(Point(50, 50), 6)),))


def wishing(kind: str) -> Piece:
    wish = MarkWish(kind, Place("A", length=20), 15)
    return replace(raw(), wishes=Wishes(marks=(wish,)))


def darted() -> Piece:
    return replace(raw(), wishes=Wishes(darts=(DartWish(Place("A", fraction=0.5), 80, 20, "B"),)))


@dataclass(frozen=True)
class Case:
    """A pattern, what it is published on, and the cautions that it calls for beside shears."""

    pattern: Pattern
    called: set[str]
    surfaces: tuple[str, ...] = ("a4",)
    longest: float = 0.0


def of(*pieces: Piece, seams: tuple[Seam, ...] = (), **said: object) -> Pattern:
    return Pattern("Patch", pieces, seams=seams, handover=Handover(**said))  # type: ignore[arg-type]


SEAM = Seam((EdgeName("Patch", "A"),), (EdgeName("Patch", "C"),))
CHILD = Wearer.CHILD
SEWN = {"pins", "iron"}

CASES = {
    "felt that is only cut": Case(of(raw()), set()),
    "an edge is a seam": Case(of(having(raw(), Lies.SEWN)), SEWN),
    "an edge is a hem": Case(of(having(raw(), Lies.HEM)), SEWN),
    "an edge lies on the fold": Case(of(having(raw(cuts=FOLD), Lies.FOLD)), set()),
    "a seam is told": Case(of(raw(), seams=(SEAM,)), SEWN),
    "a stitch ring has seams": Case(
        of(replace(raw(), stitch=(lying(raw().outlines[0], Lies.SEWN),))), SEWN
    ),
    "a dart is drawn": Case(of(lined(Role.DART)), SEWN),
    "a dart is asked for": Case(of(darted()), SEWN),
    "a pocket is set on": Case(of(lined(Role.POCKET)), SEWN),
    "a line is topstitched": Case(of(lined(Role.STITCH)), {"pins"}),
    "a line is pressed": Case(of(lined(Role.FOLD)), {"iron"}),
    "a line is only marked": Case(of(lined(Role.INSIDE)), set()),
    "a hole is drilled": Case(of(marked(Role.DRILL)), set()),
    "a notch is cut": Case(of(marked(Role.NOTCH)), set()),
    "for a grown-up, with a button": Case(of(marked(Role.BUTTON), wearer=Wearer.ADULT), {"pins"}),
    "for a grown-up, with cords and beads": Case(
        of(raw(), wearer=Wearer.ADULT, cords=True, small_parts=True), set()
    ),
    "for nobody knows whom, nothing to fear": Case(of(having(raw(), Lies.HEM)), SEWN),
    "for nobody knows whom, with a cord": Case(of(raw(), cords=True), {"perhaps_child"}),
    "for nobody knows whom, with beads": Case(of(raw(), small_parts=True), {"perhaps_child"}),
    "for nobody knows whom, with a button": Case(
        of(marked(Role.BUTTON)), {"pins", "perhaps_child"}
    ),
    "for a child": Case(of(raw(), wearer=CHILD), {"flammable"}),
    "for a child, with a cord": Case(of(raw(), wearer=CHILD, cords=True), {"flammable", "cords"}),
    "for a child, with beads": Case(
        of(raw(), wearer=CHILD, small_parts=True), {"flammable", "small_parts"}
    ),
    "for a child, with a button": Case(
        of(marked(Role.BUTTON), wearer=CHILD), {"pins", "flammable", "small_parts"}
    ),
    "for a child, with a buttonhole": Case(
        of(marked(Role.BUTTONHOLE), wearer=CHILD), {"pins", "flammable", "small_parts"}
    ),
    "for a child, a button is asked for": Case(
        of(wishing("button"), wearer=CHILD), {"pins", "flammable", "small_parts"}
    ),
    "for a child, a drill hole is asked for": Case(
        of(wishing("drill"), wearer=CHILD), {"flammable"}
    ),
    "cut one by one": Case(of(raw(cuts=COPIES)), {"rotary"}),
    "one of two cut one by one": Case(of(raw(cuts=(*PAIR, *COPIES))), {"rotary"}),
    "cut nobody knows how": Case(of(raw(cuts=())), {"rotary"}),
    "on a mat": Case(of(raw()), {"projector", "rotary"}, ("mat:bench",)),
    "on a mat, in capitals": Case(of(raw()), {"projector", "rotary"}, (" MAT:Bench",)),
    "on paper and on a mat": Case(of(raw()), {"projector", "rotary"}, ("a4", "mat:bench")),
    "on nothing yet": Case(of(raw()), set(), ()),
    "on letter": Case(of(raw()), set(), ("letter",)),
    # ISO 216: A3 is 420 mm long, A2 594 mm, A1 841 mm.
    "on a sheet that can be reached across": Case(of(raw()), set(), ("a3", "a2")),
    "on a sheet that cannot": Case(of(raw()), {"lifting"}, ("a4", "A1")),
    "on a roll": Case(of(raw()), {"lifting"}, ("roll:610mm",)),
    "taped to a long sheet": Case(of(raw()), {"lifting"}, ("a4",), longest=700.1),
    "taped to a short sheet": Case(of(raw()), set(), ("a4",), longest=699.9),
    "a long piece": Case(of(raw(height=700.1)), {"lifting"}),
    "a wide piece": Case(of(raw(width=700.1)), {"lifting"}),
    "a piece just as long as the reach": Case(of(raw(height=699.9)), set()),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_exactly_those_cautions_appear_that_are_called_for(case: Case) -> None:
    found = cautions_of(case.pattern, case.surfaces, case.longest)
    assert {caution.key for caution in found} == case.called | {"shears"}


def test_every_caution_is_called_for_by_one_case_and_not_by_another() -> None:
    """The table leaves no trigger untried, either way."""
    called = [case.called | {"shears"} for case in CASES.values()] + [set()]
    for caution in CAUTIONS:
        assert any(caution.key in keys for keys in called)
        assert any(caution.key not in keys for keys in called)
    assert cautions_of(Pattern("Nothing", ())) == ()


#: A part of a pattern that calls for cautions by itself -> which.
PARTS: dict[str, tuple[Piece, set[str]]] = {
    "felt": (raw(), set()),
    "seam": (having(raw(), Lies.SEWN), SEWN),
    "dart": (darted(), SEWN),
    "crease": (lined(Role.FOLD), {"iron"}),
    "single": (raw(cuts=COPIES), {"rotary"}),
    "long": (raw(height=900), {"lifting"}),
    "button": (marked(Role.BUTTON), {"pins", "a button"}),
}


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from(sorted(PARTS)), min_size=1, max_size=4, unique=True),
    st.sampled_from([None, *Wearer]),
    st.booleans(),
    st.booleans(),
    st.sets(st.sampled_from(["a4", "a0", "roll:914mm", "mat:bench"])),
)
def test_parts_call_for_no_more_together_than_each_alone(
    parts: list[str], wearer: Wearer | None, cords: bool, beads: bool, surfaces: set[str]
) -> None:
    """Each trigger sees its own thing and nothing else; the order is that of the table."""
    pattern = of(*(PARTS[part][0] for part in parts), wearer=wearer, cords=cords, small_parts=beads)
    called = {"shears"}.union(*(PARTS[part][1] for part in parts))
    small = "a button" in called or beads
    called.discard("a button")
    called |= {"projector", "rotary"} if "mat:bench" in surfaces else set()
    called |= {"lifting"} if surfaces & {"a0", "roll:914mm"} else set()
    if wearer is Wearer.CHILD:
        called |= {"flammable"}
        called |= ({"cords"} if cords else set()) | ({"small_parts"} if small else set())
    elif wearer is None and (cords or small):
        called |= {"perhaps_child"}
    found = [caution.key for caution in cautions_of(pattern, sorted(surfaces))]
    assert set(found) == called
    table = [caution.key for caution in CAUTIONS]
    assert found == sorted(found, key=table.index)


@pytest.mark.parametrize("demo", DEMOS)
def test_a_traced_pattern_calls_for_what_the_drafted_one_does(demo: str) -> None:
    """What is only asked for in words counts as much as what is drawn."""
    traced, drawn = traced_demo(demo), pattern_of_demo(demo)
    calls = {caution.key for caution in cautions_of(traced, ["a4"])}
    assert calls == {caution.key for caution in cautions_of(drawn, ["a4"])}
    assert {"shears", "pins", "iron"} <= calls
    assert "projector" not in calls


def test_surfaces_are_understood_as_publishing_understands_them() -> None:
    felt = of(raw())
    assert [c.key for c in cautions_of(felt, [f"{MAT}any"])] == ["shears", "rotary", "projector"]
    assert [c.key for c in cautions_of(felt, [f"{ROLL}24in"])] == ["shears", "lifting"]
    for word in ("a0", "b2", "tabloid"):
        paper = paper_of(word)
        lifted = "lifting" in {c.key for c in cautions_of(felt, [word])}
        assert lifted == (max(paper.width, paper.height) > ARM)


each_caution = pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.key)
each_language = pytest.mark.parametrize("language", LANGUAGES)


@each_language
@each_caution
def test_a_caution_has_a_title_two_to_four_sentences_and_hands_over(
    caution: object, language: str
) -> None:
    told = caution.told(language)  # type: ignore[attr-defined]
    assert told.key == caution.key  # type: ignore[attr-defined]
    assert told.title
    assert not told.title.endswith(".")
    assert len(told.title) <= 40
    assert 2 <= len(re.findall(r"[.!?](?:\s|$)", told.text)) <= 4
    local = {"en": ("local rules", "makers"), "de": ("Vorschriften vor Ort", "Hersteller")}
    for part in local.get(language, ("місцевих правил", "виробників")):
        assert part in told.defers
    assert "{" not in f"{told.title}{told.text}{told.look_up}{told.defers}"


#: What to look up: standards on cords (EN 14682; ASTM F1816; 16 CFR part 1120), burning (EN 14878:
#: burning behaviour of children's nightwear; 16 CFR parts 1610, 1615, 1616), attached parts
#: (CEN/TS 17394-1, EN 17394-2: security of buttons; CEN/TR 16792) and light of projectors
#: (IEC 62471-5), as the bodies that publish them name them.
POINTERS = {
    "cords": {"EN 14682", "ASTM F1816", "16 CFR 1120"},
    "flammable": {"EN 14878", "16 CFR 1610", "16 CFR 1615", "16 CFR 1616"},
    "small_parts": {"CEN/TS 17394-1", "EN 17394-2", "CEN/TR 16792"},
    "projector": {"IEC 62471-5"},
    "perhaps_child": {"EN 14682", "ASTM F1816", "EN 14878"},
}


@each_language
@each_caution
def test_standards_are_named_as_pointers_and_nowhere_else(caution: object, language: str) -> None:
    """Rules for the small parts of toys (16 CFR 1501) are not among them: 16 CFR 1501.3 (d)
    leaves children's clothing and buttons out."""
    told = caution.told(language)  # type: ignore[attr-defined]
    name = re.compile(r"(?:CEN/T[SR]|EN|ASTM F|16 CFR|IEC|ISO|BS) ?\d[\d-]*")
    assert set(name.findall(told.look_up)) == POINTERS.get(told.key, set())
    assert bool(told.look_up) == (told.key in POINTERS)
    assert not name.findall(told.title + told.text + told.defers)


@each_language
def test_the_words_are_in_the_letters_of_their_language(language: str) -> None:
    """Ukrainian is Cyrillic, without the Russian letters ы, э, ъ, ё; German has umlauts."""
    words = (shipped("templates") / language / "cautions.toml").read_text("utf-8")
    texts = " ".join(re.findall(r'= "(.*)"', words))
    cyrillic = len(re.findall(r"[Ѐ-ӿ]", texts)) / len(re.findall(r"\w", texts))
    assert (cyrillic > 0.9) == (language == "uk")
    assert not re.search("[ыэъёЫЭЪЁ]", texts)
    assert bool(re.search("[äöüß]", texts)) == (language == "de")
