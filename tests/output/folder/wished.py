"""Random wishes, seams and words, such as a maker may write."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from tests.strategies import lengths, patterns
from tiler.intake.edges import edges_of
from tiler.pattern.handover import ClothFacts, Finished, Handover, Wearer
from tiler.pattern.model import Lies, Outline, Part, Pattern, Piece, Seam, Side
from tiler.pattern.placed import Placed, PlacedPiece
from tiler.pattern.wishes import (
    CheckCloth,
    DartWish,
    EdgeName,
    Finish,
    FisheyeWish,
    GrainWish,
    MarkWish,
    NotchShape,
    NotchWish,
    Paper,
    Place,
    StyleWish,
    Wishes,
)

_MEASURES = st.sampled_from(("bust girth", "back length", "a “b” c"))
STYLES = (("wide", "brim 90 mm wide"), ("narrow", ""), ("long hem", "below the knee"))


def _numbers(low: float, high: float) -> SearchStrategy[float]:
    """Numbers with up to twelve decimal places, more than anybody writes."""
    return st.floats(low, high).map(lambda number: round(number, 12))


positive = lengths(0.01, 900) | _numbers(0.001, 5000)
fractions = st.integers(0, 100).map(lambda n: n / 100) | _numbers(0, 1)
angles = st.integers(-80, 80).map(float) | _numbers(-80, 80)
widths = st.none() | positive


@st.composite
def places(draw: DrawFn, letters: Sequence[str]) -> Place:
    edge, from_end = draw(st.sampled_from(letters)), draw(st.booleans())
    if draw(st.booleans()):
        return Place(edge, length=draw(positive), from_end=from_end)
    return Place(edge, fraction=draw(fractions), from_end=from_end)


@st.composite
def notches(draw: DrawFn, letters: Sequence[str], meetings: Sequence[tuple[str, EdgeName]]):  # type: ignore[no-untyped-def]
    count = draw(st.sampled_from((None, 1, 2)))
    shape = draw(st.sampled_from((None, *NotchShape)))
    if meetings and draw(st.booleans()):
        edge, meets = draw(st.sampled_from(meetings))
        return NotchWish(edge, None, meets, count, shape)
    at = draw(places(letters))
    return NotchWish(at.edge, at, None, count, shape)


@st.composite
def marks(draw: DrawFn, letters: Sequence[str]) -> MarkWish:
    kind = draw(st.sampled_from(("drill", "button", "buttonhole")))
    count = draw(st.integers(1, 9))
    return MarkWish(
        kind,
        draw(places(letters)),
        draw(st.just(0.0) | positive),
        count,
        draw(positive) if count > 1 else 0.0,
        None if kind == "drill" else draw(widths),
    )


@st.composite
def darts(draw: DrawFn, letters: Sequence[str]) -> DartWish | FisheyeWish:
    at = draw(places(letters))
    if draw(st.booleans()):
        return FisheyeWish(at, draw(positive), draw(positive), (draw(positive), draw(positive)))
    others = [letter for letter in letters if letter != at.edge]
    gives = draw(st.sampled_from(("", *others)))
    flat = draw(lengths(2, 40))
    cloth = CheckCloth(flat, draw(lengths(0, flat - 0.5)), draw(st.integers(1, 60)))
    return DartWish(
        at,
        draw(positive),
        draw(st.just(cloth) | positive),
        draw(st.sampled_from(others)),
        gives,
        draw(positive) if gives else 0.0,
        draw(st.just(0.0) | angles),
    )


def _few(things: SearchStrategy, most: int = 3) -> SearchStrategy:  # type: ignore[type-arg]
    return st.lists(things, max_size=most).map(tuple)


@st.composite
def wishes(
    draw: DrawFn, piece: Piece, meetings: Sequence[tuple[str, EdgeName]], shape: NotchShape
) -> Wishes:
    letters = [edge.letter for edge in piece.outlines[0].edges]
    folded = [""] if any(e.lies is Lies.FOLD for e in piece.outlines[0].edges) else []
    grain = GrainWish(draw(st.sampled_from([*letters, *folded])), draw(st.just(0.0) | angles))
    own = draw(st.lists(st.sampled_from(STYLES), max_size=3, unique=True))
    edges = st.lists(st.sampled_from(letters), min_size=1, max_size=3, unique=True).map(tuple)
    return Wishes(
        paper=draw(st.sampled_from(Paper)),
        stitch_line=draw(st.booleans()),
        press_darts=draw(st.sampled_from(("", *letters))),
        notch_shape=shape,
        styles=tuple(StyleWish(style, draw(edges)) for style, _ in own),
        darts=draw(_few(darts(letters))),
        notches=draw(_few(notches(letters, meetings))),
        marks=draw(_few(marks(letters))),
        grain=None if piece.grain else draw(st.none() | st.just(grain)),
    )


@st.composite
def seams(draw: DrawFn, pieces: Sequence[Piece]) -> Seam:
    names = [EdgeName(p.name, edge.letter) for p in pieces for edge in p.outlines[0].edges]
    side = st.lists(st.sampled_from(names), min_size=1, max_size=3).map(tuple)
    ease = sorted((draw(lengths(-20, 60)), draw(lengths(-20, 60))))
    return Seam(
        draw(side),
        draw(side),
        draw(st.sampled_from(((0.0, 0.0), (ease[0], ease[0]), (ease[0], ease[1])))),
        draw(st.just((1, 1)) | st.tuples(st.integers(1, 12), st.integers(1, 12))),
        draw(st.sampled_from(("", "side seam", 'the "long" one', "näht. 2"))),
        draw(st.sampled_from((None, True, False))),
        match=draw(st.booleans()),
    )


@st.composite
def wished_patterns(draw: DrawFn) -> Pattern:
    """A pattern with everything that the pattern file can say."""
    pattern = as_read(draw(patterns(most=3)))
    ending = draw(st.sampled_from(("", " no. 2", ", left = 'x'", ' "new" {a}', " äöß #")))
    pieces = [
        replace(_said(draw, piece), name=piece.name + ending, allowance=draw(widths))
        for piece in pattern.pieces
    ]
    sewn = draw(_few(seams(pieces)))
    shape = draw(st.sampled_from(NotchShape))
    made = []
    for piece in pieces:
        meetings = [
            (mine.letter, theirs)
            for seam in sewn
            for a, b in ((seam.first, seam.second), (seam.second, seam.first))
            for mine in a
            for theirs in b
            if mine.piece == piece.name and mine != theirs
        ]
        made.append(replace(piece, wishes=draw(wishes(piece, meetings, shape))))
    joined = ((made[0].name, made[-1].name),) if len(made) > 1 and draw(st.booleans()) else ()
    names = [piece.name for piece in made]
    group = st.lists(st.sampled_from(names), min_size=2, max_size=3, unique=True).map(tuple)
    return replace(
        pattern,
        pieces=tuple(made),
        styles=STYLES,
        seams=sewn,
        joined=joined,
        together=draw(_few(group, most=1)) if len(names) > 1 else (),
        traced_from=draw(st.sampled_from(("", "an old smock, “unpicked”\\"))),
        traced_stretch=draw(st.none() | _numbers(0, 3)),
        cloth_stretch=draw(st.just(()) | fractions.map(lambda f: (("main", f),))),
        handover=draw(handovers([cloth for cloth, _ in pattern.cloths])),
        placed=draw(_few(laid_by_hand(names), most=2)),
    )


@st.composite
def laid_by_hand(draw: DrawFn, names: Sequence[str]) -> Placed:
    laid = [
        PlacedPiece(
            name,
            draw(st.integers(1, 99)),
            draw(st.sampled_from(("A1", "B2", "AA12"))),
            (draw(lengths(-1, 900)), draw(lengths(-1, 900))),
            draw(st.integers(0, 359_999)) / 1000,
        )
        for name in draw(st.lists(st.sampled_from(names), min_size=1, unique=True))
    ]
    # One for each paper: no two are for the same.
    on = draw(st.uuids()).hex[:8]
    styles = draw(st.sampled_from(((), ("wide",), ("long hem", "narrow"))))
    margin, overlap = draw(lengths(0, 20)), draw(lengths(8, 20))
    return Placed(on, draw(st.booleans()), margin, overlap, tuple(laid), styles)


@st.composite
def handovers(draw: DrawFn, cloths: Sequence[str]) -> Handover:
    texts = st.lists(st.sampled_from(("Thread", "Sew “A” to B \\ C", "# no [table]")), max_size=3)
    said = texts.map(tuple)
    shares = st.tuples(_numbers(0, 0.4), _numbers(0, 0.4)) | _numbers(0, 0.4).map(lambda x: (x, x))
    repeats = st.tuples(widths, widths).map(lambda pair: (pair[0] or 0.0, pair[1] or 0.0))
    facts = [
        ClothFacts(
            cloth,
            avoid=draw(st.sampled_from(("", 'stretch cloth, "any"'))),
            width=draw(widths),
            nap=draw(st.none() | st.booleans()),
            shrinkage=draw(st.none() | shares),
            repeat=draw(st.none() | repeats),
        )
        for cloth in cloths
        if draw(st.booleans())
    ]
    finished = [Finished(name, draw(positive)) for name in draw(st.sets(_MEASURES)) or ()]
    styled = [Finished("hem = width", draw(positive), style) for style, _ in STYLES]
    return Handover(
        address=draw(st.sampled_from(("", "https://example.org/smock?a=1#b"))),
        licence=draw(said),
        language=draw(st.sampled_from(("", "en", "pt-BR"))),
        wearer=draw(st.sampled_from((None, *Wearer))),
        cords=draw(st.booleans()),
        small_parts=draw(st.booleans()),
        notions=draw(said),
        sewing=draw(said),
        finished=(
            *sorted(finished, key=lambda each: each.name),
            *draw(st.sampled_from((styled, ()))),
        ),
        cloths=tuple(facts),
    )


def _said(draw: DrawFn, piece: Piece) -> Piece:
    (outline,) = piece.outlines
    edges = tuple(
        replace(
            edge,
            name=draw(st.sampled_from(("", "hem, back", "centre = front"))),
            allowance=None if edge.lies is Lies.FOLD else draw(widths),
            finish=draw(st.sampled_from((None, *Finish))),
        )
        for edge in outline.edges
    )
    return replace(
        piece,
        outlines=(replace(outline, edges=edges),),
        part=draw(st.sampled_from((None, *Part))),
        side=draw(st.sampled_from((None, *Side))),
    )


def as_read(pattern: Pattern) -> Pattern:
    """The same with the letters that a reader gives: from the corner nearest the lower left."""
    pieces = []
    for piece in pattern.pieces:
        outlines = []
        for outline in piece.outlines:
            starts = [edge.path.start for edge in outline.edges]
            edges = tuple(
                replace(edge, lies=outline.edges[starts.index(edge.path.start)].lies)
                for edge in edges_of(outline.path, starts)
            )
            outlines.append(Outline(outline.role, edges, outline.style))
        pieces.append(replace(piece, outlines=tuple(outlines)))
    return replace(pattern, pieces=tuple(pieces))


def without_places(value: object) -> object:
    """The same value with every `where` empty."""
    if is_dataclass(value) and not isinstance(value, type):
        changes = {
            field.name: "" if field.name == "where" else without_places(getattr(value, field.name))
            for field in fields(value)
        }
        return replace(value, **changes)
    if type(value) is tuple:
        return tuple(without_places(each) for each in value)
    return value
