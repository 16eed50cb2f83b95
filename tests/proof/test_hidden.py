"""What hides a line, or could be taken for one: paint over it, absurd pens, furniture too bold."""

from __future__ import annotations

import itertools
from pathlib import Path as File

import numpy as np
import pytest
import shapely
from publication_builder import PT, Draft

from tiler.pattern.affine import Affine
from tiler.proof import Verdict, prove
from tiler.proof.content import read_ink
from tiler.proof.covering import _turns
from tiler.proof.document import open_document
from tiler.proof.pen import Graphics
from tiler.proof.placing import unfold
from tiler.proof.tokens import Operand


def verdict_of(paper: Draft, folder: File) -> Verdict:
    return prove(paper.write(folder), paper.pattern)


def told(paper: Draft, folder: File) -> list[str]:
    return [f"{fault.code} {fault}" for fault in verdict_of(paper, folder).faults]


def furniture(operators: str) -> str:
    """Operators as furniture, in millimetres of the page."""
    return f"q {PT} 0 0 {PT} 0 0 cm /Artifact BMC {operators} EMC Q"


# Edge A of the bib runs up page B1 at x = 20 mm, from y = 20 to 140 mm; its edge D runs up page
# B2 at x = 50 mm. The bib is free of lines about (55, 85) on page B1.
OVER_EDGE_A = "15 50 10 8 re"
PICTURE = "BI /W 1 /H 1 /BPC 8 /CS /G ID \x00 EI"


@pytest.mark.parametrize(
    "operators",
    [
        f"1 g {OVER_EDGE_A} f",
        f"1 1 1 rg {OVER_EDGE_A} F",
        f"0 0 0 0 k {OVER_EDGE_A} f*",
        f"0 g {OVER_EDGE_A} f",
        f"0.1 w 0.5 g {OVER_EDGE_A} B",
        f"1 g {OVER_EDGE_A} W f",
        "1 g 15 50 m 25 50 l 20 60 l f",
        "1 g 15 50 m 15 60 25 60 25 50 c f",
        "1 g 10 45 20 20 re 30 65 m 30 45 l f",
        f"q 10 0 0 8 15 50 cm {PICTURE} Q",
        f"q {OVER_EDGE_A} W n /Any sh Q",
        "1 g 19.9 21 0.2 100 re f",
    ],
)
def test_paint_over_a_line(paper: Draft, tmp_path: File, operators: str) -> None:
    paper.pages["B1"].beside = furniture(operators)
    assert told(paper, tmp_path) == [
        "hidden B1: the cut line of Bib, edge A, does not show: something is painted over it"
    ]


@pytest.mark.parametrize(
    "operators",
    [
        "1 g 50 80 10 8 re f",  # where no line runs
        "1 g 0 0 12.9 160 re f",  # beside the window
        "1 g 10 45 20 20 re 15 45 10 20 re f*",  # the line runs through its gap
        f"/Ghost gs 1 g {OVER_EDGE_A} f",  # fully transparent
        f"q 50 80 10 8 re W n 1 g {OVER_EDGE_A} f Q",  # clipped away
        "BT /F1 9 Tf 20 50 Td (words) Tj ET",
        "1 g f",
    ],
)
def test_paint_that_hides_nothing(paper: Draft, tmp_path: File, operators: str) -> None:
    paper.pages["B1"].beside = furniture(operators)
    assert told(paper, tmp_path) == []


def test_paint_beyond_the_window(paper: Draft, tmp_path: File) -> None:
    paper.pages["B2"].beside = furniture("1 g 45 147.1 10 10 re f")
    assert verdict_of(paper, tmp_path).proven
    paper.pages["B2"].beside = furniture("1 g 45 146 10 10 re f")
    (text,) = told(paper, tmp_path)
    assert text.startswith("hidden B2: the cut line of Bib, edge D, does not show")


def test_paint_under_the_pattern_and_between_its_forms(paper: Draft, tmp_path: File) -> None:
    everything = "1 g 0 0 150 160 re f"
    paper.pages["B1"].before = furniture(everything)
    assert verdict_of(paper, tmp_path).proven
    # The pocket is drawn last: what is painted just before it hides the bib alone.
    paper.pages["B2"].mood["Pocket"] = furniture(everything)
    texts = told(paper, tmp_path)
    assert {text.split(" does not show")[0] for text in texts} == {
        "hidden B2: the cut line of Bib, edge D,",
        "hidden B2: the inside line of Bib (narrow) (line 2)",
    }


@pytest.mark.parametrize(
    ("operators", "shows"),
    [
        ("0 g 0 50 m 2 54 l -2 54 l f", True),  # an arrowhead on the line
        ("0.3 g 0 50 4 4 re f", True),
        ("1 g -2 50 4 4 re f", False),
        ("0 g -3 50 6 6 re f", False),
        ("/Pattern cs /P scn -2 50 4 4 re f", False),
        ("1 G 0.3 w 0 50 m 0 90 l S", False),
    ],
)
def test_paint_inside_a_form(paper: Draft, tmp_path: File, operators: str, shows: bool) -> None:
    paper.forms["Bib"][1].append(f"q /Artifact BMC {operators} EMC Q")
    assert verdict_of(paper, tmp_path).proven == shows


def test_a_form_of_the_furniture_painted_over_a_line(paper: Draft, tmp_path: File) -> None:
    # The whole pocket once more, as furniture, with an area of its own in it.
    paper.forms["Blot"] = ("Pocket", [f"/Artifact BMC 1 g {OVER_EDGE_A} f EMC"])
    paper.only_instead.add("Blot")
    paper.pages["B1"].beside = furniture("/Blot Do")
    assert told(paper, tmp_path) == [
        "hidden B1: the cut line of Bib, edge A, does not show: something is painted over it"
    ]


@pytest.mark.parametrize(
    ("operators", "reason"),
    [
        ("0.04 w", "its line is thinner than 0.05 mm"),
        ("0 w", "its line is thinner than 0.05 mm"),
        ("2.1 w", "its line is wider than 2 mm, and so where it runs"),
        ("[4 5.2] 0 d", "its dashes are more than 5 mm apart"),
        ("[0.01 500] 0 d", "its dashes are more than 5 mm apart"),
        ("[6] 0 d", "its dashes are more than 5 mm apart"),
        ("[4 2 1 3 1 9 1 2] 3 d", "its dashes are more than 5 mm apart"),
        ("[4 2 0.001 2 0.001 2] 0 d", "its dashes are more than 5 mm apart"),
        ("[0.01 2] 0 d", "its dashes are more than 5 mm apart"),
    ],
)
def test_absurd_pens(paper: Draft, tmp_path: File, operators: str, reason: str) -> None:
    strokes = paper.forms["Pocket"][1]
    strokes[:] = [f"q {operators}", *strokes, "Q"]
    texts = told(paper, tmp_path)
    assert texts
    assert all(text.startswith("hidden B2: the cut line of Pocket") for text in texts)
    assert all(reason in text for text in texts)


@pytest.mark.parametrize(
    "operators",
    ["0.05 w", "2 w", "[4 5] 0 d", "[5] 0 d", "1 J [0 3] 0 d", "1 J [0.1 1.4] 0 d", "[] 7 d"],
)
def test_pens_that_show(paper: Draft, tmp_path: File, operators: str) -> None:
    strokes = paper.forms["Pocket"][1]
    strokes[:] = [f"q {operators}", *strokes, "Q"]
    assert told(paper, tmp_path) == []


@pytest.mark.parametrize(
    ("mood", "reason"),
    [
        ("9 w", "wider than 2 mm"),
        ("0.01 w", "thinner than 0.05 mm"),
        ("[1 8] 0 d", "more than 5 mm apart"),
        ("/Broad gs", "wider than 2 mm"),
        ("/Sparse gs", "more than 5 mm apart"),
        ("/Screen gs", "blended"),
        ("/Ghost gs", "fully transparent"),
    ],
)
def test_pens_that_a_form_takes_over(paper: Draft, tmp_path: File, mood: str, reason: str) -> None:
    paper.pen = ""  # then a line is as wide as a unit: here 1 mm
    assert not any(text.startswith("hidden") for text in told(paper, tmp_path))
    paper.pages["B2"].mood["Pocket"] = mood
    hidden = [text for text in told(paper, tmp_path) if text.startswith("hidden")]
    assert len(hidden) == 1
    assert hidden[0].startswith("hidden B2: the cut line of Pocket")
    assert reason in hidden[0]


def test_blending_that_keeps_lines_dark(paper: Draft, tmp_path: File) -> None:
    paper.pages["B2"].mood["Pocket"] = "/Screen gs /Multiply gs"
    assert verdict_of(paper, tmp_path).proven


@pytest.mark.parametrize(
    ("page", "operators", "texts"),
    [
        ("start", "1.1 w 20 50 m 90 90 l S", ["the furniture has a line 1.10 mm wide"]),
        ("B1", "1.1 w 20 5 m 90 5 l S", ["the furniture has a line 1.10 mm wide"]),
        ("start", "0.9 w 20 50 m 90 90 l S 1 G 20 50 m 90 90 l S", []),
        ("B1", "0.9 w 20 5 m 90 5 l S", []),
        ("B1", "0.39 w 50 80 m 60 90 l S", []),
        (
            "B1",
            "0.4 w 50 80 m 60 90 l S",
            ["the furniture has a line as bold as the pattern's own where the pattern is"],
        ),
        (
            "B1",
            "0.1 w 1 0 0 8 0 0 cm 50 10 m 60 11 l S",
            ["the furniture has a line as bold as the pattern's own where the pattern is"],
        ),
        (
            "B1",
            "1 G 0.3 w 20 50 m 20 90 l S",
            ["the furniture has a white line where the pattern is"],
        ),
    ],
)
def test_lines_of_the_furniture(
    paper: Draft, tmp_path: File, page: str, operators: str, texts: list[str]
) -> None:
    paper.pages[page].beside = furniture(operators)
    assert told(paper, tmp_path) == [f"extra {page}: {text}" for text in texts]


def test_widths_agree_with_singular_values(paper: Draft, tmp_path: File) -> None:
    dice = np.random.default_rng(11)
    turns = [Affine(*dice.normal(0, 1, 6)) for _ in range(8)]
    words = (f"q {' '.join(f'{v:.6f}' for v in by)} cm 0.7 w 1 2 m 3 4 l S Q" for by in turns)
    paper.pages["A1"].before = "/Artifact BMC " + " ".join(words) + " EMC"
    document = open_document(paper.write(tmp_path))
    page = unfold(document, document.papers[1], "")[0]
    theirs = [
        np.linalg.svd(np.reshape(by[:4], (2, 2)), compute_uv=False) * 0.7 / PT for by in turns
    ]
    ours = page.nib_sizes()[:8]
    assert ours[:, :2] == pytest.approx(np.array(theirs)[:, ::-1], abs=1e-5)


def test_what_an_outline_holds_agrees_with_shapely() -> None:
    dice = np.random.default_rng(5)
    points = dice.uniform(-12, 12, (2000, 2))
    for _ in range(10):
        # Triangles laid over one another in either direction, so that turns add up and cancel.
        rings = dice.uniform(-10, 10, (3, 3, 2))
        content = " ".join(
            f"{a[0]} {a[1]} m {b[0]} {b[1]} l {c[0]} {c[1]} l" for a, b, c in rings.round(3)
        )
        (cover,) = read_ink(f"{content} f".encode(), Nothing()).covers
        assert cover.sides is not None
        theirs = np.zeros(len(points), dtype=int)
        for ring in rings.round(3):
            inside = shapely.contains_xy(shapely.Polygon(ring), points)
            theirs += np.where(inside, 1 if shapely.LinearRing(ring).is_ccw else -1, 0)
        assert np.array_equal(_turns(points, cover.sides), theirs)


def test_curved_areas_agree_with_the_circle() -> None:
    k = 0.5522847498  # 4/3 (sqrt 2 - 1): a quarter circle as a cubic, off by 0.03 % of its radius
    quarter = itertools.cycle([(1, 0), (0, 1), (-1, 0), (0, -1)])
    corners = [next(quarter) for _ in range(5)]
    content = "10 0 m "
    for (ax, ay), (bx, by) in itertools.pairwise(corners):
        handles = (ax + k * bx, ay + k * by, bx + k * ax, by + k * ay, bx, by)
        content += " ".join(f"{10 * v}" for v in handles) + " c "
    (cover,) = read_ink(f"{content} f".encode(), Nothing()).covers
    assert cover.sides is not None
    points = np.random.default_rng(2).uniform(-12, 12, (4000, 2))
    distance = np.hypot(*points.T)
    inside = _turns(points, cover.sides) != 0
    # 8 chords a quarter: the sagitta of an arc of 11.25 degrees is 0.48 % of the radius.
    assert inside[distance < 9.94].all()
    assert not inside[distance > 10.01].any()


class Nothing:
    def form(self, name: str) -> int | None:
        return None

    def graphics(self, name: str) -> Graphics:
        return Graphics()

    def space(self, name: str) -> str:
        return "other"

    def properties(self, name: str) -> dict[str, Operand]:
        return {}
