"""A sound publication proves; every way of spoiling it is caught and named."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path as File

import pytest
from publication_builder import ORIGINS, PLACEMENTS, PT, Draft, draft, shifted
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, NumberObject

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Source
from tiler.proof import Verdict, prove


def verdict_of(paper: Draft, folder: File) -> Verdict:
    return prove(paper.write(folder), paper.pattern)


def codes(verdict: Verdict) -> set[str]:
    return {fault.code for fault in verdict.faults}


def named(verdict: Verdict, code: str) -> list[str]:
    return [str(fault) for fault in verdict.faults if fault.code == code]


def test_a_sound_publication_is_proven(paper: Draft, tmp_path: File) -> None:
    verdict = verdict_of(paper, tmp_path)
    assert verdict.proven
    assert verdict.faults == ()
    # Counted by hand: five edges, two stitch lines, a grainline, a notch and a style line on the
    # bib; five segments on the pocket.
    assert (verdict.pages, verdict.pieces, verdict.lines) == (4, 2, 15)
    assert verdict.worst < 1e-5  # numbers are written to a nanometre
    assert verdict.sentences() == [
        "Proven: 15 lines on 4 pages, worst deviation less than 0.0001 mm."
    ]


@pytest.mark.parametrize("far", [0.005, 0.02, 0.06, 0.2, 1.0])
@pytest.mark.parametrize("angle", [0, 37, 90, 215])
def test_a_displaced_form_is_measured(paper: Draft, tmp_path: File, far: float, angle: int) -> None:
    x, y = far * math.cos(math.radians(angle)), far * math.sin(math.radians(angle))
    paper.pages["A2"].moved["Bib"] = Affine.move(x, y)
    verdict = verdict_of(paper, tmp_path)
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert "page A2" in verdict.worst_where
    assert verdict.proven == (far <= 0.05)
    assert codes(verdict) == (set() if far <= 0.05 else {"moved"})


@pytest.mark.parametrize("far", [0.005, 0.02, 0.06, 0.2, 1.0])
def test_a_displaced_page_is_measured(paper: Draft, tmp_path: File, far: float) -> None:
    paper.pages["B1"].before = shifted(far * 0.6, -far * 0.8)
    verdict = verdict_of(paper, tmp_path)
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert verdict.proven == (far <= 0.05)
    if far > 0.05:
        (text,) = named(verdict, "shift")
        assert text == f"B1: its crosses put the whole page {far:.3f} mm off its place"
        assert codes(verdict) == {"shift"}


@pytest.mark.parametrize("far", [0.005, 0.02, 0.06, 0.2, 1.0])
def test_a_displaced_page_without_neighbours_is_measured(tmp_path: File, far: float) -> None:
    paper = draft()
    # B2 alone: the pocket moves to where only this page looks.
    paper = only_the_pocket_on_b2(paper)
    assert verdict_of(paper, tmp_path).proven
    paper.pages["B2"].before = shifted(far, 0)
    verdict = verdict_of(paper, tmp_path)
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert verdict.proven == (far <= 0.05)


def only_the_pocket_on_b2(paper: Draft) -> Draft:
    pocket = paper.pattern.pieces[1]
    paper.pattern = replace(paper.pattern, pieces=(pocket,))
    paper.forms = {"Pocket": paper.forms["Pocket"]}
    paper.labels = paper.order = ["start", "B2"]
    paper.record["pages"] = [page for page in paper.record["pages"] if page["name"] == "B2"]
    paper.record["placements"] = paper.record["placements"][1:]
    paper.record["layers"] = paper.record["layers"][2:]
    paper.pages["B2"].crosses.clear()
    return paper


@pytest.mark.parametrize("far", [0.06, 0.2, 1.0])
def test_a_moved_cross_is_measured(paper: Draft, tmp_path: File, far: float) -> None:
    x, y = paper.pages["A1"].crosses[1, 1]
    paper.pages["A1"].crosses[1, 1] = (x + far, y)
    verdict = verdict_of(paper, tmp_path)
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert not verdict.proven
    assert f"A1 and A2: the crosses of joint 1, point 1 are {far:.3f} mm apart" in named(
        verdict, "cross"
    )


def test_small_errors_of_many_crosses_add_up(paper: Draft, tmp_path: File) -> None:
    # Four pages in a chain A2 - A1 - B1 - B2, each joint 0.045 mm too wide and so within the
    # tolerance: with A1 or B1 in its place, the far end lies 0.090 mm off.
    wider = {1: ("A2", 0.045), 3: ("B1", -0.045), 2: ("B2", -0.045)}
    for joint, (name, by) in wider.items():
        for point in (1, 2):
            x, y = paper.pages[name].crosses[joint, point]
            paper.pages[name].crosses[joint, point] = (x + by, y)
    for name in ("A2", "B2"):
        del paper.pages[name].crosses[4, 1], paper.pages[name].crosses[4, 2]
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "joint") == [
        "A2 and B2: they lie side by side and share no cross; two are needed"
    ]
    assert named(verdict, "cross") == []
    assert verdict.worst == pytest.approx(0.09, abs=0.001)
    assert len(named(verdict, "shift")) == 1


def test_scale_of_a_page(paper: Draft, tmp_path: File) -> None:
    paper.pages["A2"].before = "0.999 0 0 0.999 0 0 cm"
    verdict = verdict_of(paper, tmp_path)
    assert {"shift", "cross", "measure"} <= codes(verdict)
    # The farthest cross of A2, at (120, 140) or (15, 130) mm of the page, moves by a thousandth
    # of its distance from the corner that stays.
    far = max(math.hypot(*place) for place in paper.pages["A2"].crosses.values())
    assert verdict.worst == pytest.approx(far / 1000, abs=0.001)


def test_scale_of_a_form(paper: Draft, tmp_path: File) -> None:
    for page in paper.pages.values():
        page.moved["Pocket"] = Affine.scale(0.999, 0.999)
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"moved"}
    assert all("Pocket" in text for text in named(verdict, "moved"))


def test_scale_of_all_pages_and_crosses_alike(paper: Draft, tmp_path: File) -> None:
    for page in paper.pages.values():
        page.before = "0.999 0 0 0.999 0 0 cm"
    verdict = verdict_of(paper, tmp_path)
    assert {"moved", "shift", "measure"} <= codes(verdict)
    assert named(verdict, "measure")[0].startswith(
        "start: the calibration square of 100 x 100 mm is 99.90 x 99.90 mm"
    )


def test_a_turned_page(paper: Draft, tmp_path: File) -> None:
    turn = Affine.turn(0.1)
    paper.pages["B1"].before = " ".join(f"{value:.9f}" for value in turn) + " cm"
    verdict = verdict_of(paper, tmp_path)
    assert "moved" in codes(verdict)
    assert any(text.startswith("B1: ") for text in named(verdict, "moved"))


def test_a_line_left_out_everywhere(paper: Draft, tmp_path: File) -> None:
    del paper.forms["Bib"][1][1]
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"missing"}
    # The armhole runs from (10, 130) to (58, 190) on the sheet: the joint of A1 and B1 is at 135.
    assert named(verdict, "missing") == [
        "A1: the cut line of Bib, edge B, is missing",
        "B1: the cut line of Bib, edge B, is missing",
    ]


def test_a_line_left_out_on_one_page(paper: Draft, tmp_path: File) -> None:
    layer, strokes = paper.forms["Bib"]
    paper.forms["Without"] = (layer, [*strokes[:1], *strokes[2:]])
    paper.only_instead.add("Without")
    paper.pages["A1"].instead["Bib"] = "Without"
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "missing") == ["A1: the cut line of Bib, edge B, is missing"]
    assert codes(verdict) == {"missing"}


def test_a_piece_left_out_on_one_page(paper: Draft, tmp_path: File) -> None:
    paper.pages["B2"].left_out.add("Pocket")
    verdict = verdict_of(paper, tmp_path)
    (text,) = named(verdict, "missing")
    assert text.startswith("B2: the cut line of Pocket, edge A, is missing, and so are 3 more")


def test_an_extra_line_in_a_layer(paper: Draft, tmp_path: File) -> None:
    paper.forms["Bib"][1].append("30 60 m 90 80 l S")
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"extra"}
    assert all("'Bib'" in text for text in named(verdict, "extra"))


def test_a_second_line_beside_the_true_one(paper: Draft, tmp_path: File) -> None:
    paper.forms["Bib"][1].append("0.5 0 m 0.5 120 l S")
    assert codes(verdict_of(paper, tmp_path)) == {"extra"}


def test_a_line_drawn_twice_in_the_same_place_is_no_fault(paper: Draft, tmp_path: File) -> None:
    paper.forms["Bib"][1].append(paper.forms["Bib"][1][0])
    assert verdict_of(paper, tmp_path).proven


def test_a_second_copy_off_its_place(paper: Draft, tmp_path: File) -> None:
    paper.pages[
        "B2"
    ].beside = f"q {shifted(30, 12)} {PT} 0 0 {PT} 0 0 cm /Pocket Do Q"  # unturned, elsewhere
    (text,) = named(verdict_of(paper, tmp_path), "extra")
    assert text.startswith("B2: the layer 'Pocket' is drawn once more")


def test_an_extra_line_outside_the_layers(paper: Draft, tmp_path: File) -> None:
    paper.pages["A1"].beside = "50 50 m 90 90 l S"
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "extra") == ["A1: lines are drawn outside the pattern's layers"]


@pytest.mark.parametrize(
    ("operators", "what"),
    [
        ("BT /F1 9 Tf (here) Tj ET", "text"),
        ("10 10 50 50 re f", "a filled area"),
        ("BI /W 1 /H 1 /BPC 8 /CS /G ID \x00 EI", "a picture"),
    ],
)
def test_other_ink_outside_the_furniture(
    paper: Draft, tmp_path: File, operators: str, what: str
) -> None:
    paper.pages["A1"].beside = operators
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "extra") == [f"A1: there is {what} outside the furniture and the pattern"]


def test_a_curve_replaced_by_its_chord(paper: Draft, tmp_path: File) -> None:
    assert " c S" in paper.forms["Bib"][1][1]
    paper.forms["Bib"][1][1] = "0 120 m 48 180 l S"
    verdict = verdict_of(paper, tmp_path)
    assert "missing" in codes(verdict)
    assert all("edge B" in text for text in named(verdict, "missing"))


def test_a_curve_reversed_or_in_parts_of_a_path_is_no_fault(paper: Draft, tmp_path: File) -> None:
    paper.forms["Bib"][1][1] = "48 180 m 45 150 25 125 0 120 c S"
    paper.forms["Pocket"][1][:] = [
        "0 0 m 0 70 l 60 70 l 60 10 l 60 4 56 0 50 0 c h S",
    ]
    assert verdict_of(paper, tmp_path).proven


def test_short_forms_of_curves(paper: Draft, tmp_path: File) -> None:
    # v repeats the current point as first handle, y the end point as second (ISO 32000-1, 8.5.2).
    pocket = paper.pattern.pieces[1]
    text = paper.forms["Pocket"][1]
    assert text[2].startswith("60.000000 70.000000 m")
    edge_c = pocket.outlines[0].edges[2].path.segments[1]
    assert edge_c.start == Point(60, 10)
    v = type(edge_c)(edge_c.start, edge_c.start, Point(56, 0), edge_c.end)
    y = type(edge_c)(edge_c.start, Point(60, 4), edge_c.end, edge_c.end)
    for curve, operators in ((v, "56 0 50 0 v"), (y, "60 4 50 0 y")):
        edges = list(pocket.outlines[0].edges)
        path = edges[2].path
        edges[2] = replace(edges[2], path=replace(path, segments=(path.segments[0], curve)))
        outline = replace(pocket.outlines[0], edges=tuple(edges))
        pieces = (paper.pattern.pieces[0], replace(pocket, outlines=(outline,)))
        paper.pattern = replace(paper.pattern, pieces=pieces)
        text[2] = f"60 70 m 60 10 l {operators} S"
        assert verdict_of(paper, tmp_path).proven


def test_a_page_that_is_missing(paper: Draft, tmp_path: File) -> None:
    paper.order.remove("B2")
    paper.labels.remove("B2")
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "pages") == ["B2: the page is missing"]
    assert verdict.pages == 3


def test_a_page_that_even_the_record_leaves_out(paper: Draft, tmp_path: File) -> None:
    paper.order.remove("B2")
    paper.labels.remove("B2")
    del paper.record["pages"][3]
    verdict = verdict_of(paper, tmp_path)
    # The crosses that its neighbours still share with it lead nowhere.
    assert codes(verdict) == {"gap", "cross"}
    assert named(verdict, "cross")[0] == ("B1: the cross of joint 2, point 1 is on no other page")
    # Of the hem-side edge D of the bib, x = 160 on the sheet, y from 10 to 133 is on no page.
    assert "123.000 mm of the cut line of Bib, edge D are on no page" in named(verdict, "gap")


def test_swapped_pages(paper: Draft, tmp_path: File) -> None:
    paper.order = ["start", "A2", "A1", "B1", "B2"]  # labels stay where they are
    verdict = verdict_of(paper, tmp_path)
    assert {"missing", "shift"} & codes(verdict)
    assert not verdict.proven


def test_pages_out_of_order(paper: Draft, tmp_path: File) -> None:
    paper.order = paper.labels = ["start", "A2", "A1", "B1", "B2"]
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "pages") == ["A2: the pages are not in the order of the record"]


def test_a_wrong_label(paper: Draft, tmp_path: File) -> None:
    paper.labels[2] = "C7"
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "pages") == [
        "A2: the page is missing",
        "C7: the record knows no such page",
    ]


def test_a_mirrored_placement(paper: Draft, tmp_path: File) -> None:
    a, b, c, d, e, f = paper.record["placements"][1]["matrix"]
    paper.record["placements"][1]["matrix"] = [-a, -b, c, d, e, f]
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "placement") == ["Pocket: the piece is laid down mirrored"]


@pytest.mark.parametrize("factor", [1.0001, 0.999999])
def test_a_placement_that_stretches(paper: Draft, tmp_path: File, factor: float) -> None:
    paper.record["placements"][0]["matrix"][0] = factor
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "placement") == [
        "Bib: the piece is stretched or slanted where it is laid down"
    ]


def test_a_piece_that_is_not_placed(paper: Draft, tmp_path: File) -> None:
    del paper.record["placements"][1]
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "placement") == ["Pocket: the piece is not on the sheets"]
    assert "extra" in codes(verdict)


def test_a_wrong_check_bar(paper: Draft, tmp_path: File) -> None:
    paper.pages["A1"].measures[0] = (100.0, 0.0, 100.05, 0.0)
    verdict = verdict_of(paper, tmp_path)
    assert named(verdict, "measure") == ["A1: the check bar of 100 mm across is 100.05 x 0.00 mm"]
    assert verdict.faults[0].deviation == pytest.approx(0.05, abs=1e-4)


def test_measures_that_are_not_there(paper: Draft, tmp_path: File) -> None:
    del paper.pages["A1"].measures[1]
    del paper.pages["start"].measures[1]
    assert named(verdict_of(paper, tmp_path), "measure") == [
        "start: the calibration square of 101.6 x 101.6 mm is not there",
        "A1: there is no check bar up",
    ]


def test_a_window_that_is_too_small(paper: Draft, tmp_path: File) -> None:
    paper.pages["B2"].window = (13.0, 13.0, 137.0, 127.0)  # 20 mm short at the top
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"clipped"}
    bib, pocket = named(verdict, "clipped")
    # The cut edge D and the stitch line beside it both run up through the lost 20 mm.
    assert bib.startswith("B2: the cut line of Bib, edge D, is cut short by 19.9")
    assert "and so is one more" in bib
    assert "of Pocket, edge" in pocket


def test_a_window_of_another_shape(paper: Draft, tmp_path: File) -> None:
    # A triangle keeps a part of the pocket out; a ring in the shape of an L cannot be followed.
    box = "0 0 m 425 0 l 0 450 l h W n"
    paper.pages["B2"].mood["Pocket"] = box
    assert codes(verdict_of(paper, tmp_path)) == {"clipped"}
    paper.pages["B2"].mood["Pocket"] = "0 0 m 425 0 l 425 450 l 200 450 l 200 200 l 0 200 l h W n"
    assert codes(verdict_of(paper, tmp_path)) == {"hidden"}


def test_a_form_whose_own_box_cuts_it(paper: Draft, tmp_path: File) -> None:
    paper.forms["Pocket"][1].insert(0, "q 0 0 60 40 re W n")
    paper.forms["Pocket"][1].append("Q")
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"hidden"}
    assert "a clip inside its own drawing cuts into it" in named(verdict, "hidden")[0]


@pytest.mark.parametrize(
    ("operators", "reason"),
    [
        ("1 G", "it is drawn in white"),
        ("1 1 1 RG", "it is drawn in white"),
        ("/DeviceCMYK CS 0 0 0 0 SC", "it is drawn in white"),
        ("/Clear gs", "it is drawn fully transparent"),
        ("[0 3] 0 d", "its dashes have no length"),
    ],
)
def test_lines_that_do_not_show(paper: Draft, tmp_path: File, operators: str, reason: str) -> None:
    paper.pages["B2"].mood["Pocket"] = operators
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"hidden"}
    assert reason in named(verdict, "hidden")[0]


def test_dots_and_black_lines_do_show(paper: Draft, tmp_path: File) -> None:
    paper.pages["B2"].mood["Pocket"] = "1 J [0 3] 0 d 1 G 0 0 0 RG"
    assert verdict_of(paper, tmp_path).proven


def test_a_line_without_width(paper: Draft, tmp_path: File) -> None:
    paper.forms["Pocket"][1].insert(0, "0 w")
    assert "its line is thinner than 0.05 mm" in named(verdict_of(paper, tmp_path), "hidden")[0]


def test_a_layer_that_is_off(paper: Draft, tmp_path: File) -> None:
    paper.off.append("narrow")
    assert named(verdict_of(paper, tmp_path), "hidden") == [
        "narrow: the layer is off, or may be, when the file is opened or printed"
    ]


def test_lines_in_the_wrong_layer(paper: Draft, tmp_path: File) -> None:
    moved = paper.forms["Bib"][1].pop(0)
    paper.forms["Narrow"][1].append(moved)
    assert codes(verdict_of(paper, tmp_path)) == {"missing", "extra"}


def shared_by_two(paper: Draft) -> Draft:
    """The line of the style narrow belongs to a style wide as well."""
    bib, pocket = paper.pattern.pieces
    lines = tuple(replace(x, style="narrow + wide") if x.style else x for x in bib.lines)
    paper.pattern = replace(paper.pattern, pieces=(replace(bib, lines=lines), pocket))
    paper.forms["Narrow"] = ("Bib · narrow + wide", paper.forms["Narrow"][1])
    paper.record["layers"].append({"layer": "wide", "style": "wide"})
    return paper


def test_what_two_styles_share_shows_while_one_of_them_is_on(paper: Draft, tmp_path: File) -> None:
    assert verdict_of(shared_by_two(paper), tmp_path).proven


def test_what_two_styles_share_may_not_need_both(paper: Draft, tmp_path: File) -> None:
    paper = shared_by_two(paper)
    paper.policy = "/AllOn"
    assert codes(verdict_of(paper, tmp_path)) == {"missing", "extra"}


@pytest.mark.parametrize("layer", ["Bib", "Bib · narrow", "Pocket · narrow + wide"])
def test_what_two_styles_share_in_another_layer(paper: Draft, tmp_path: File, layer: str) -> None:
    paper = shared_by_two(paper)
    # A form of its own, so that the file has a layer for each style.
    paper.forms["Both"] = ("Bib · narrow + wide", [])
    paper.forms["Narrow"] = (layer, paper.forms["Narrow"][1])
    assert codes(verdict_of(paper, tmp_path)) == {"missing", "extra"}


def test_a_layer_of_two_that_is_off(paper: Draft, tmp_path: File) -> None:
    paper = shared_by_two(paper)
    paper.off.append("wide")
    assert named(verdict_of(paper, tmp_path), "hidden") == [
        "wide: the layer is off, or may be, when the file is opened or printed"
    ]


def test_a_style_whose_lines_do_not_stand_in_their_piece(paper: Draft, tmp_path: File) -> None:
    """Switching the piece off would leave them on the sheet."""
    paper.forms["Narrow"] = ("narrow", paper.forms["Narrow"][1])
    for page in paper.pages.values():
        page.left_out.add("narrow")
        if page.origin in ORIGINS.values():
            x, y = page.origin
            place = PLACEMENTS["Bib"].then(Affine.move(-x, -y)).then(Affine.scale(PT, PT))
            page.beside += f" q {' '.join(f'{v:.9f}' for v in place)} cm /Narrow Do Q"
    assert codes(verdict_of(paper, tmp_path)) == {"missing", "extra"}


def test_a_record_that_names_no_layer_for_a_style(paper: Draft, tmp_path: File) -> None:
    paper = shared_by_two(paper)
    paper.record["layers"].pop()
    told = named(verdict_of(paper, tmp_path), "layer")
    assert told == ["Bib: the record names no layer for the style 'wide'"]


def test_crosses_that_two_neighbours_do_not_share(paper: Draft, tmp_path: File) -> None:
    del paper.pages["A1"].crosses[1, 2]
    assert named(verdict_of(paper, tmp_path), "joint") == [
        "A1 and A2: they lie side by side and share only one cross; two are needed"
    ]


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("/Rotate", NumberObject(90)),
        ("/UserUnit", FloatObject(1.5)),
        ("/CropBox", ArrayObject(FloatObject(v) for v in (10, 10, 300, 300))),
        (
            "/Annots",
            ArrayObject([DictionaryObject({NameObject("/Subtype"): NameObject("/Square")})]),
        ),
    ],
)
def test_pages_that_print_otherwise_than_drawn(
    paper: Draft, tmp_path: File, key: str, value: object
) -> None:
    paper.pages["A1"].entries[key] = value
    verdict = verdict_of(paper, tmp_path)
    (text,) = named(verdict, "paper")
    assert text.startswith("A1: ")


def test_paper_of_another_size(paper: Draft, tmp_path: File) -> None:
    paper.media = (150.0, 161.0)
    assert named(verdict_of(paper, tmp_path), "paper")[0] == (
        "start: the page is 150.00 x 161.00 mm, and should be 150 x 160 mm"
    )


@pytest.mark.parametrize("scaling", [None, "/AppDefault"])
def test_a_file_that_lets_the_viewer_scale(
    paper: Draft, tmp_path: File, scaling: str | None
) -> None:
    paper.scaling = scaling
    assert codes(verdict_of(paper, tmp_path)) == {"scaling"}


def test_a_tampered_pattern_inside(paper: Draft, tmp_path: File) -> None:
    paper.sources["pattern.toml"] += b"# one more word"
    verdict = verdict_of(paper, tmp_path)
    assert codes(verdict) == {"digest"}


def test_another_pattern_with_the_same_lines_is_noted(paper: Draft, tmp_path: File) -> None:
    file = paper.write(tmp_path)
    other = replace(paper.pattern, sources=(Source("pattern.toml", b"# other words"),))
    verdict = prove(file, other)
    assert verdict.proven
    assert [finding.code for finding in verdict.findings] == ["other-digest"]


def test_a_wider_tolerance(paper: Draft, tmp_path: File) -> None:
    paper.pages["A2"].moved["Bib"] = Affine.move(0.2, 0)
    file = paper.write(tmp_path)
    assert not prove(file, paper.pattern).proven
    assert prove(file, paper.pattern, tolerance=0.25).proven


def test_the_verdict_in_words(paper: Draft, tmp_path: File) -> None:
    paper.pages["A1"].moved["Bib"] = Affine.move(0.2, 0)
    paper.pages["B2"].left_out.add("Pocket")
    told = verdict_of(paper, tmp_path).sentences()
    assert told[0] == "Not proven: 2 faults in 15 lines on 4 pages."
    assert told[1].startswith("Worst deviation: 0.200 mm, the ")
    assert told[2].startswith("A1: the cut line of Bib, edge ")
    assert len(told) == 4
    assert len(verdict_of(paper, tmp_path).sentences(limit=1)) == 4
    assert verdict_of(paper, tmp_path).sentences(limit=1)[-1] == "And 1 more."
