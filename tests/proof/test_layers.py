"""What may be switched off: page marks, words, pieces and styles, each for itself, and by hand."""

from __future__ import annotations

from pathlib import Path as File
from typing import Any

import pytest
from publication_builder import PLACEMENTS, PT, Draft
from pypdf.generic import NameObject

from tiler.pattern.affine import Affine
from tiler.proof import Verdict, prove

OFF = "the layer is off, or may be, when the file is opened or printed"


def verdict_of(paper: Draft, folder: File) -> Verdict:
    return prove(paper.write(folder), paper.pattern)


def told(paper: Draft, folder: File) -> list[str]:
    return [f"{fault.code} {fault}" for fault in verdict_of(paper, folder).faults]


@pytest.mark.parametrize("layer", ["Page marks", "Words", "Bib", "narrow"])
def test_layers_that_are_off(paper: Draft, tmp_path: File, layer: str) -> None:
    paper.off.append(layer)
    assert told(paper, tmp_path) == [f"hidden {layer}: {OFF}"]


def test_all_layers_off_at_first(paper: Draft, tmp_path: File) -> None:
    names = ["Bib", "narrow", "Pocket", "Page marks", "Words"]
    paper.layer_entries["/BaseState"] = "/OFF"
    assert sorted(told(paper, tmp_path)) == sorted(f"hidden {name}: {OFF}" for name in names)
    paper.layer_entries["/ON"] = names[:-1]
    assert told(paper, tmp_path) == [f"hidden Words: {OFF}"]
    paper.layer_entries["/ON"] = names
    assert told(paper, tmp_path) == []


ASKED = {"/Event": "/Print", "/Category": ["/Print"], "/OCGs": ["Page marks", "Pocket"]}


@pytest.mark.parametrize("asked", [None, ASKED])
@pytest.mark.parametrize("layer", ["Page marks", "Pocket"])
def test_a_layer_that_is_not_printed(
    paper: Draft, tmp_path: File, layer: str, asked: dict[str, Any] | None
) -> None:
    """A state for printing counts whether or not the file asks viewers to follow it."""
    if asked:
        paper.layer_entries["/AS"] = [asked]
    paper.usage[layer] = {"/Print": {"/PrintState": NameObject("/OFF")}}
    assert told(paper, tmp_path) == [f"hidden {layer}: {OFF}"]
    paper.usage[layer] = {"/Print": {"/PrintState": NameObject("/ON")}}
    assert told(paper, tmp_path) == []


@pytest.mark.parametrize(
    ("event", "category", "usage"),
    [
        ("/View", "/View", {"/View": {"/ViewState": NameObject("/OFF")}}),
        ("/Print", "/View", {"/View": {"/ViewState": NameObject("/OFF")}}),
        ("/Export", "/Export", {"/Export": {"/ExportState": NameObject("/OFF")}}),
        ("/Print", "/Zoom", {"/Zoom": {}}),
        ("/View", "/Language", {"/Language": {}}),
        ("/Print", "/User", {"/User": {}}),
    ],
)
def test_a_layer_that_a_viewer_may_turn_off(
    paper: Draft, tmp_path: File, event: str, category: str, usage: dict[str, Any]
) -> None:
    paper.usage["Words"] = usage
    assert told(paper, tmp_path) == []  # nobody is asked to look at it
    paper.layer_entries["/AS"] = [{"/Event": event, "/Category": [category], "/OCGs": ["Words"]}]
    assert told(paper, tmp_path) == [f"hidden Words: {OFF}"]


@pytest.mark.parametrize("use", ["marks", "words"])
def test_a_use_without_a_layer(paper: Draft, tmp_path: File, use: str) -> None:
    words = {"marks": "the page marks", "words": "the words on the pieces"}[use]
    (entry,) = [layer for layer in paper.record["layers"] if layer.get("use") == use]
    paper.plain_layers.remove(entry["layer"])
    assert told(paper, tmp_path) == [
        f"layer {entry['layer']}: the file has no such layer for {words}"
    ]
    paper.record["layers"].remove(entry)
    assert told(paper, tmp_path) == [f"layer the record names no layer for {words}"]


@pytest.mark.parametrize(
    ("layer", "use"),
    [
        ("Words", "the words on the pieces"),
        ("Page marks", "the page marks"),
        ("Bib · Words", "the words on the pieces"),
        ("Bib · Page marks", "the page marks"),
        ("Bib · narrow + Words", "the words on the pieces"),
    ],
)
def test_a_cut_line_among_words_or_page_marks(
    paper: Draft, tmp_path: File, layer: str, use: str
) -> None:
    """Whoever switches the words off to save ink would lose it."""
    moved = paper.forms["Bib"][1].pop(0)
    paper.forms["Cut"] = (layer, [moved])
    if " · " not in layer:
        paper.placements[layer] = PLACEMENTS["Bib"]
    texts = told(paper, tmp_path)
    assert {text.split()[0] for text in texts} == {"missing", "extra"}
    assert any("the cut line of Bib, edge A, is missing" in text for text in texts)
    assert any(
        text.endswith(f"lines of the pattern are drawn in the layer of {use}, and would go with it")
        for text in texts
    )


@pytest.mark.parametrize("name", ["Pagemarks", "Words"])
def test_a_whole_piece_within_a_layer_of_furniture(paper: Draft, tmp_path: File, name: str) -> None:
    """The piece's own layer inside another one goes with it."""
    for page in paper.pages.values():
        page.before = f"/OC /In{name} BDC"
        page.beside = "EMC"
    texts = told(paper, tmp_path)
    assert any("lines of the pattern are drawn in the layer of" in text for text in texts)
    assert any("is missing" in text for text in texts)


def test_words_and_marks_in_layers_of_their_own(paper: Draft, tmp_path: File) -> None:
    """As furniture they may hang there, the words inside a piece's layer as well."""
    for page in paper.pages.values():
        page.beside = (
            "/OC /InPagemarks BDC /Artifact BMC 0.1 w 30 30 m 60 30 l S EMC EMC "
            "/Artifact BMC /OC /InPagemarks BDC BT /F1 9 Tf 30 40 Td (A1) Tj ET EMC EMC "
            "/OC /InBib BDC /OC /InWords BDC /Artifact BMC BT /F1 9 Tf (Bib) Tj ET EMC EMC EMC"
        )
    assert told(paper, tmp_path) == []


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("/OC /InPagemarks BDC", "EMC"),
        ("/OC /InPagemarks BDC /OC /InPagemarks BDC", "EMC EMC"),
        ("q 0 0 425.2 453.6 re W n 0.2 w 0.5 G", "Q"),
    ],
)
def test_crosses_that_stay_with_the_page_marks(
    paper: Draft, tmp_path: File, before: str, after: str
) -> None:
    paper.pages["A1"].round_cross[1, 1] = (before, after)
    assert told(paper, tmp_path) == []


@pytest.mark.parametrize(
    ("before", "after", "layer"),
    [
        ("/OC /InWords BDC", "EMC", "Words"),
        ("/OC /InBib BDC", "EMC", "Bib"),
        ("/OC /InPagemarks BDC /OC /InBib BDC", "EMC EMC", "Page marks > Bib"),
        ("/OC <<>> BDC", "EMC", "?"),
    ],
)
def test_crosses_that_would_go_with_another_layer(
    paper: Draft, tmp_path: File, before: str, after: str, layer: str
) -> None:
    paper.pages["A1"].round_cross[1, 1] = (before, after)
    assert told(paper, tmp_path) == [
        f"cross A1: the cross of joint 1, point 1 hangs in the layer {layer!r}, and would go with "
        "it"
    ]


@pytest.mark.parametrize(
    "operators",
    [
        "1 G",
        "/Clear gs",
        "0.1 w",
        "[0 3] 0 d",
        "/Screen gs",
        "0 0 370 420 re W n",
    ],
)
def test_crosses_that_do_not_show(paper: Draft, tmp_path: File, operators: str) -> None:
    """The cross stands at (135, 26) mm of the page; it is 6 mm wide."""
    assert paper.pages["A1"].crosses[1, 1] == (135.0, 30.0)
    paper.pages["A1"].round_cross[1, 1] = (f"q {operators}", "Q")
    texts = told(paper, tmp_path)
    assert "cross A1: the cross of joint 1, point 1 does not show, or not all of it" in texts


def test_a_cross_in_two_layers_is_no_cross(paper: Draft, tmp_path: File) -> None:
    x, y = (value * PT for value in paper.pages["A1"].crosses.pop((1, 1)))
    paper.pages["A1"].beside = (
        f"/Artifact <</Joint 1 /Point 1>> BDC {x - 9} {y} m {x + 9} {y} l S "
        f"/OC /InPagemarks BDC {x} {y - 9} m {x} {y + 9} l S EMC EMC"
    )
    texts = told(paper, tmp_path)
    assert "cross A1: the cross of joint 1, point 1 is not two straight strokes that cross" in texts


@pytest.mark.parametrize(
    ("operators", "words"),
    [
        ("1 G", "does not show, or not all of it"),
        ("/OC /InWords BDC", "hangs in the layer 'Words', and would go with it"),
    ],
)
def test_check_bars_that_do_not_show(
    paper: Draft, tmp_path: File, operators: str, words: str
) -> None:
    paper.pages["A1"].measures.pop(0)
    bar = "/Artifact <</Measure [100 0]>> BDC 60 20 m 343.464567 20 l S EMC"
    end = "EMC" if operators.endswith("BDC") else ""
    paper.pages["A1"].beside = f"q {operators} {bar} {end} Q"
    assert told(paper, tmp_path)[0] == f"measure A1: the check bar of 100 mm across {words}"


def test_an_arrowhead_of_a_piece_is_no_excuse_for_page_marks(paper: Draft, tmp_path: File) -> None:
    """A small dark area on a line: fine in the piece's layer, not in that of the page marks."""
    blot = f"{PT} 0 0 {PT} 0 0 cm 0 g 19 50 2 2 re f"
    for layer, shows in (("Bib", True), ("Pagemarks", False)):
        paper.pages["B1"].beside = f"q /OC /In{layer} BDC /Artifact BMC {blot} EMC EMC Q"
        assert verdict_of(paper, tmp_path).proven == shows


# Some of the pieces.


def only(paper: Draft, *pieces: str) -> Draft:
    """Print some pieces only, and say so."""
    paper.record["pieces"] = list(pieces)
    for layer, _ in paper.forms.values():
        if layer.split(" · ")[0] not in pieces:
            for page in paper.pages.values():
                page.left_out.add(layer)
    return paper


def test_chosen_pieces_are_proven_alone(paper: Draft, tmp_path: File) -> None:
    verdict = verdict_of(only(paper, "Pocket"), tmp_path)
    assert verdict.faults == ()
    assert verdict.proven
    assert (verdict.pieces, verdict.lines) == (1, 5)
    (finding,) = verdict.findings
    assert (finding.code, finding.text) == (
        "some-pieces",
        "Of the 2 pieces of the pattern, only these are meant to be here: Pocket.",
    )
    # Neither a placement nor a layer is needed for what is not printed.
    paper.record["placements"] = paper.record["placements"][1:]
    paper.record["layers"] = paper.record["layers"][2:]
    assert verdict_of(paper, tmp_path).proven


def test_chosen_pieces_on_the_pages_that_they_need(paper: Draft, tmp_path: File) -> None:
    only(paper, "Pocket")
    paper.order = paper.labels = ["start", "B2"]
    paper.record["pages"] = [page for page in paper.record["pages"] if page["name"] == "B2"]
    paper.pages["B2"].crosses.clear()
    verdict = verdict_of(paper, tmp_path)
    assert verdict.proven
    assert verdict.pages == 1


def test_chosen_pieces_are_expected_whole(paper: Draft, tmp_path: File) -> None:
    only(paper, "Bib")
    del paper.forms["Bib"][1][0]
    assert {text.split()[0] for text in told(paper, tmp_path)} == {"missing"}


def test_a_list_of_pieces_that_lies(paper: Draft, tmp_path: File) -> None:
    # It leaves out what is there.
    paper.record["pieces"] = ["Pocket"]
    texts = told(paper, tmp_path)
    assert {text.split()[0] for text in texts} == {"extra"}
    assert all("'Bib" in text for text in texts)
    # It lists what is not there.
    only(paper, "Pocket").record["pieces"] = ["Pocket", "Bib"]
    assert {text.split()[0] for text in told(paper, tmp_path)} == {"missing"}
    # It says that all are there.
    paper.record["pieces"] = []
    assert {text.split()[0] for text in told(paper, tmp_path)} == {"missing"}


def test_a_list_of_pieces_that_the_pattern_does_not_have(paper: Draft, tmp_path: File) -> None:
    only(paper, "Pocket").record["pieces"] = ["Pocket", "Collar"]
    assert told(paper, tmp_path) == [
        "pieces Collar: it is said to be chosen, and the pattern has no such piece"
    ]
    only(paper, "Collar")
    verdict = verdict_of(paper, tmp_path)
    assert not verdict.proven
    assert (verdict.lines, verdict.findings) == (0, ())


def test_a_placement_of_no_piece_at_all(paper: Draft, tmp_path: File) -> None:
    only(paper, "Pocket").record["placements"].append({"piece": "Collar", "matrix": list(Affine())})
    assert told(paper, tmp_path) == ["placement Collar: the pattern has no such piece"]


@pytest.mark.parametrize("way", ["overlap", "butt", "see-through"])
def test_pages_may_be_joined_in_any_way(paper: Draft, tmp_path: File, way: str) -> None:
    paper.record["joint"] = way
    assert verdict_of(paper, tmp_path).proven
