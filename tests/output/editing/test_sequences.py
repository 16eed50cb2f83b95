"""Random changes after one another, on demos and on a file with odd habits."""

from __future__ import annotations

import tomllib

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.output.editing.demos import ODD, demo
from tiler.output.editing.changes import (
    AddEntry,
    AddSeam,
    Change,
    ClothFact,
    ClothSays,
    CutWords,
    EdgeAllowance,
    EdgeFinish,
    EdgeLies,
    EdgeNamed,
    FinishedMeasure,
    NotchWords,
    PatternLists,
    PatternSays,
    PieceCuts,
    PieceGrain,
    PieceNotes,
    PieceSays,
    RemoveEntry,
    RemoveSeam,
    SeamWords,
    StyleEdges,
    StyleSays,
)
from tiler.output.editing.document import Document
from tiler.output.editing.hems import edge_value, lies_of
from tiler.pattern.model import Lies

FILES = [demo("hat"), Document(ODD), Document(ODD.replace("\n", "\r\n"))]

letters = st.sampled_from("ABCDEF")
lengths = st.sampled_from(["12 mm", "5/8 in", "1.5 cm"]) | st.none()
texts = st.lists(st.text("aé'\"\\#]},= \n", max_size=6), max_size=3).map(tuple)
words = st.text("aé'\"\\#]},=\t \n", max_size=6)
names = st.sampled_from(["main", "x y", "ß", "a.b"])
notches = st.builds(NotchWords, letters, st.sampled_from(["1 %", "2 mm"]))
cuts = st.builds(CutWords, st.integers(1, 9), st.sampled_from(["pair", "fold"]), st.just("main"))


def of_piece(piece: str) -> st.SearchStrategy[Change]:
    """Changes of one piece."""
    name = st.just(piece)
    return st.one_of(
        st.builds(EdgeAllowance, name, letters, lengths),
        st.builds(EdgeLies, name, letters, st.sampled_from(Lies), lengths, st.just(None)),
        st.builds(EdgeFinish, name, letters, st.sampled_from(["mitre", "square", None])),
        st.builds(EdgeNamed, name, letters, words),
        st.builds(StyleEdges, name, names, st.lists(letters, unique=True, max_size=3).map(tuple)),
        st.builds(AddEntry, name, notches),
        st.builds(RemoveEntry, name, st.just("notches"), st.just(0)),
        st.builds(PieceCuts, name, st.lists(cuts, max_size=3).map(tuple)),
        st.builds(PieceGrain, name, letters | st.none(), st.sampled_from(["", "45 deg"])),
        st.builds(PieceNotes, name, texts),
        st.builds(PieceSays, name, st.just("allowance"), lengths),
    )


WHOLE: st.SearchStrategy[Change] = st.one_of(
    st.builds(PatternSays, st.sampled_from(["maker", "about"]), words | st.none()),
    st.builds(PatternLists, st.sampled_from(["sewing", "notions"]), texts),
    st.builds(ClothSays, names, words | st.none()),
    st.builds(ClothFact, names, st.just("width"), lengths),
    st.builds(StyleSays, names, words | st.none()),
    st.builds(FinishedMeasure, names, lengths),
    st.builds(AddSeam, st.builds(SeamWords, texts, texts, words)),
    st.builds(RemoveSeam, st.just(0)),
)


@settings(max_examples=20)
@given(st.data())
def test_after_any_changes_the_file_says_them_and_all_else(data: st.DataObject) -> None:
    """Outside checks: tomllib and tomlkit read alike, and the names of pieces are still there."""
    doc = data.draw(st.sampled_from(FILES))
    pieces = [piece["name"] for piece in doc.data["piece"]]
    before = doc
    for _ in range(data.draw(st.integers(1, 6))):
        piece = data.draw(st.sampled_from(pieces))
        change = data.draw(of_piece(piece) | WHOLE)
        if isinstance(change, RemoveEntry) and not _piece(doc, piece).get("notches"):
            continue
        if isinstance(change, RemoveSeam) and not doc.data.get("seam"):
            continue
        doc = change.done(doc)
        own = _piece(doc, piece)
        if isinstance(change, EdgeAllowance):
            assert edge_value(own, change.edge, "allowance") == change.value
        if isinstance(change, EdgeLies):
            assert lies_of(own, change.edge) is change.lies
        if isinstance(change, EdgeNamed):
            said = {key.upper(): name for key, name in own.get("names", {}).items()}
            assert said.get(change.edge, "") == change.name
        if isinstance(change, PieceNotes):
            assert tuple(own.get("notes", [])) == change.notes
    assert tomllib.loads(doc.text) == tomlkit.parse(doc.text).unwrap()
    assert [each["name"] for each in doc.data["piece"]] == pieces
    assert doc.text.count("\r") == (doc.text.count("\n") if "\r" in before.text else 0)


def _piece(doc: Document, name: str) -> dict[str, object]:
    return next(piece for piece in doc.data["piece"] if piece["name"] == name)
