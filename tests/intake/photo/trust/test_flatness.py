"""Waves in paper are seen at its edges, or by two photos; uneven cutting is not taken for them."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from scipy.stats import multivariate_normal

from tests.intake.photo.trust.wavysheet import (
    Array,
    Eye,
    Sheet,
    block,
    edge_shown,
    scissors,
    solved,
    table,
)
from tiler.intake.photo.model import Flattened, Photo, Points, Solved, Strand, Web
from tiler.intake.photo.problem import CaptureError, Doubts
from tiler.intake.photo.trust import edgewaves
from tiler.intake.photo.trust.edgewaves import EdgesSay, EdgeWave, said_by, waves_of
from tiler.intake.photo.trust.flatness import How, flatness_of, from_edges
from tiler.intake.photo.trust.paperedge import PaperEdge, edges_through
from tiler.intake.photo.trust.paperends import ends_of_paper, hidden_by

VIEW = Eye((120.0, -60.0, 900.0))
BOX = np.array([(-330.0, -250.0), (330.0, -250.0), (330.0, 250.0), (-330.0, 250.0)])
PITCH = 0.5


def waving(rise: float, length: float = 260.0) -> Sheet:
    """One wave across the sheet, a little aslant."""
    way = np.array([[np.cos(0.5)], [np.sin(0.5)]])
    half = np.array([rise / 2])
    return Sheet(BOX, way * 2 * np.pi / length, half, np.array([0.4]), rise / 2)


def picture(paper: Sheet, cut: float = 0.0, shape: Array = BOX, floor: int = 90) -> Flattened:
    """The sheet on a floor with a seam, in uneven light and with noise, seen by `VIEW`.

    Drawn 4 times as fine and averaged, so that edges lie at fractions of a pixel.
    """
    chance = np.random.default_rng(3)
    outline = []
    for a, b in zip(shape, np.roll(shape, -1, axis=0), strict=True):
        t = np.linspace(0, 1, 1000, endpoint=False)[:, None]
        out = np.array([(b - a)[1], -(b - a)[0]]) / np.hypot(*(b - a))
        real = a + t * (b - a) + scissors(chance, cut, 4)[:, None] * out
        outline.append(VIEW.shown(real, paper.height(real)))
    wide, high, fine = 1700, 1300, 2
    big = np.full((high * fine, wide * fine), floor, np.uint8)
    cv2.line(big, (0, 300), (wide * fine, 900), floor - 40, 10)

    def to_big(points: Array) -> np.ndarray[tuple[int, ...], np.dtype[np.int32]]:
        px = np.column_stack((points[:, 0] + 425, 325 - points[:, 1])) / PITCH
        return np.round(((px + 0.5) * fine - 0.5) * 16).astype(np.int32)

    cv2.fillPoly(big, [to_big(np.concatenate(outline))], (205,), cv2.LINE_8, 4)
    ink = VIEW.shown(block(180.0), paper.height(block(180.0)))
    cv2.polylines(big, [to_big(ink)], True, (30,), round(4 / PITCH * fine), cv2.LINE_8, 4)
    grey = cv2.resize(big, (wide, high), interpolation=cv2.INTER_AREA).astype(np.float32)
    grey = cv2.GaussianBlur(grey, (0, 0), 0.8) * np.linspace(0.75, 1, wide, dtype=np.float32)
    grey = grey + chance.normal(0, 4, grey.shape)
    pixels = np.repeat(np.clip(grey, 0, 255).astype(np.uint8)[..., None], 3, axis=2)
    return table(pixels, -425.0, 325.0, PITCH)


def inked(paper: Sheet, view: Eye = VIEW) -> Web:
    """The ink as it is seen."""
    points = view.shown(block(180.0), paper.height(block(180.0)))
    return Web(np.empty((0, 2)), (Strand(points, None, None, 4.0, (20.0, 0.0, 0.0)),))


def found(flattened: Flattened, web: Web, known: Solved) -> list[PaperEdge]:
    hidden = hidden_by(flattened, known)
    return edges_through(ends_of_paper(flattened, web, hidden), flattened, hidden)


def test_all_four_edges_are_found_where_they_are() -> None:
    paper = waving(0.0)
    edges = found(picture(paper), inked(paper), solved(VIEW))

    assert len(edges) == 4
    for edge in edges:
        side = max(abs(edge.outward[0]), abs(edge.outward[1]))
        assert side > 0.9999
        axis = 0 if abs(edge.outward[0]) > 0.5 else 1
        assert np.abs(np.abs(edge.points[:, axis]) - (330, 250)[axis]).max() < 0.4
        assert edge.off.std() < 0.1


def test_edges_show_a_wave_as_high_as_it_is() -> None:
    paper = waving(6.0)
    edges = found(picture(paper), inked(paper), solved(VIEW))
    said = said_by(waves_of(edges, VIEW.slant))

    assert said is not None
    # A sinusoid's standard deviation is its height from trough to crest over the root of 8.
    assert said.height == pytest.approx(6 / np.sqrt(8), rel=0.35)


def test_flat_paper_looks_flat() -> None:
    paper = waving(0.0)
    doubts = Doubts()
    seen = flatness_of(picture(paper), inked(paper), solved(VIEW), [blank()], doubts)

    assert seen.how is How.EDGES
    # Less than what is usual: edges of 600 mm cannot tell longer waves.
    assert seen.height < 0.45
    assert not doubts.found


def test_paper_that_clearly_waves_is_refused_and_the_edges_are_shown() -> None:
    paper = waving(14.0)
    with pytest.raises(CaptureError, match="the paper waves") as refused:
        flatness_of(picture(paper), inked(paper), solved(VIEW), [blank()], Doubts())

    assert refused.value.code == "paper-waves"
    assert refused.value.table_spots
    assert "Smooth the paper out" in refused.value.remedy


@pytest.mark.parametrize("cut", [0.8, 2.0])
def test_a_torn_edge_is_not_refused(cut: float) -> None:
    paper = waving(0.0)
    flatness_of(picture(paper, cut), inked(paper), solved(VIEW), [blank()], Doubts())


def test_a_sheet_that_was_cut_round_is_not_refused() -> None:
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    ellipse = np.column_stack((330 * np.cos(turn), 250 * np.sin(turn)))
    paper = waving(0.0)
    flatness_of(picture(paper, shape=ellipse), inked(paper), solved(VIEW), [blank()], Doubts())


def test_paper_that_the_floor_hides_gets_an_allowance() -> None:
    paper = waving(0.0)
    seen = flatness_of(picture(paper, floor=205), inked(paper), solved(VIEW), [blank()], Doubts())

    assert seen.how is How.ALLOWED
    assert not seen.known
    assert seen.height > 0.3


def test_a_scan_is_flat() -> None:
    known = Solved((VIEW,), (), (1.0, 1.0), lambda points: np.zeros(len(points)), flat=True)
    seen = flatness_of(picture(waving(0.0)), inked(waving(0.0)), known, [blank()], Doubts())

    assert seen.how is How.SCAN
    assert seen.height == 0
    assert not seen.slant(BOX).any()


def profiles(rise: float, size: float, bend: float, seed: int) -> list[EdgeWave]:
    """What edges of a wavy sheet look like when they are cut with scissors."""
    chance = np.random.default_rng(seed)
    paper, edges = waving(rise), []
    for a, b in zip(BOX, np.roll(BOX, -1, axis=0), strict=True):
        cut = scissors(chance, size, bend)
        points, along, off, out = edge_shown(a, b, paper, VIEW, cut, 0.05, chance)
        edges.append(PaperEdge(points, along, off, (out[0], out[1]), 50.0))
    return waves_of(edges, VIEW.slant)


def says(waves: list[EdgeWave]) -> EdgesSay:
    said = said_by(waves)
    assert said is not None
    return said


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize(("size", "bend"), [(0.3, 2), (0.8, 12), (1.0, 20)])
def test_uneven_cutting_is_not_refused(size: float, bend: float, seed: int) -> None:
    waves = profiles(0.0, size, bend, seed)
    from_edges(says(waves), waves, VIEW.slant, Doubts())


def test_higher_waves_are_said_to_be_higher() -> None:
    heights = [says(profiles(rise, 0.15, 6, 1)).height for rise in (0.0, 3.0, 8.0)]

    assert heights == sorted(heights)
    assert heights[0] < 0.45


def test_an_edge_right_below_the_camera_tells_nothing() -> None:
    along = np.arange(0, 400, 2.0)
    points = np.column_stack((along, np.full(len(along), VIEW.centre[1])))
    edge = PaperEdge(points, along, np.sin(along / 30), (0.0, -1.0), 60.0)

    assert waves_of([edge], VIEW.slant) == []


def test_heights_are_weighed_with_the_normal_density() -> None:
    chance = np.random.default_rng(5)
    square, root, values = (chance.normal(size=shape) for shape in ((20, 20), (20, 4), 20))
    rest = square @ square.T + np.eye(20)
    field = root @ root.T
    rest[:12, 12:] = rest[12:, :12] = 0
    ours = edgewaves._log_densities(
        np.split(values, [12]), [rest[:12, :12], rest[12:, 12:]], [np.split(root, [12])]
    )[0]
    # SciPy's density, with the constant that ours leaves out.
    theirs = [
        multivariate_normal.logpdf(values, cov=rest + h**2 * field) + 10 * np.log(2 * np.pi)
        for h in edgewaves._HEIGHTS
    ]

    assert ours == pytest.approx(np.array(theirs), abs=1e-9)


def blank() -> Photo:
    return Photo("table.jpg", np.zeros((10, 10, 3), np.uint8))


def photographed(paper: Sheet, view: Eye) -> Photo:
    """The ink alone as a pinhole sees it, on white."""
    wide, high = view.size
    fine = np.full((high, wide), 230, np.uint8)
    ink: Points = view.to_photo(view.shown(block(180.0), paper.height(block(180.0))))
    px = np.round(ink * 16).astype(np.int32)
    cv2.polylines(fine, [px], True, (30,), round(4 * view.scale), cv2.LINE_AA, 4)
    blurred = cv2.GaussianBlur(fine, (0, 0), 1.0)
    return Photo("one.jpg", np.repeat(np.asarray(blurred, np.uint8)[..., None], 3, axis=2))


def test_two_photos_measure_the_height_of_the_paper() -> None:
    paper = waving(3.0)
    views = [Eye((x, 50.0, 800.0), 2.5, (1100, 900)) for x in (-250.0, 250.0)]
    photos = [photographed(paper, view) for view in views]
    flattened = table(np.zeros((10, 10, 3), np.uint8), -5.0, 5.0, 1.0)
    seen = flatness_of(flattened, inked(paper, views[0]), solved(*views), photos, Doubts())
    ink = paper.height(block(180.0))

    assert seen.how is How.PARALLAX
    assert seen.height == pytest.approx(float(ink.std()), rel=0.25)


def test_two_photos_of_high_waves_are_refused() -> None:
    paper = waving(9.0)
    views = [Eye((x, 50.0, 800.0), 2.5, (1100, 900)) for x in (-250.0, 250.0)]
    photos = [photographed(paper, view) for view in views]
    flattened = table(np.zeros((10, 10, 3), np.uint8), -5.0, 5.0, 1.0)
    with pytest.raises(CaptureError, match="the paper waves"):
        flatness_of(flattened, inked(paper, views[0]), solved(*views), photos, Doubts())
