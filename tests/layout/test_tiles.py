"""How a sheet is divided: pages overlap as told and tile the sheet, and names are unique."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import lengths
from tiler.layout.papers import PAPERS, find_paper
from tiler.layout.tiles import LEAST_OVERLAP, STRIP, Cell, Grid, PageSetup
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.errors import PaperError

BIG_ENOUGH = sorted(name for name, paper in PAPERS.items() if paper.width >= 148)

setups = st.builds(
    PageSetup,
    st.sampled_from(BIG_ENOUGH).map(find_paper),
    st.booleans(),
    lengths(0, 10),
    lengths(LEAST_OVERLAP, 60),
)
grids = st.builds(Grid, setups, st.integers(1, 6), st.integers(1, 6))


def cells_of(grid: Grid) -> list[Cell]:
    return [Cell(row, column) for row in range(grid.rows) for column in range(grid.columns)]


@settings(deadline=None)
@given(grids)
def test_windows_of_neighbours_share_the_overlap_without_the_strips(grid: Grid) -> None:
    """Side by side or one below the other, two windows share a band of overlap - 2 strips."""
    shared = grid.setup.overlap - 2 * STRIP
    for cell in cells_of(grid):
        window = grid.window(cell)
        if cell.column + 1 < grid.columns:
            right = grid.window(Cell(cell.row, cell.column + 1))
            assert window.right - right.left == pytest.approx(shared, abs=1e-9)
            assert (window.bottom, window.top) == pytest.approx((right.bottom, right.top))
        if cell.row + 1 < grid.rows:
            below = grid.window(Cell(cell.row + 1, cell.column))
            assert below.top - window.bottom == pytest.approx(shared, abs=1e-9)
            assert (window.left, window.right) == pytest.approx((below.left, below.right))


@settings(deadline=None)
@given(grids)
def test_cores_tile_the_sheet_without_gap_or_overlap(grid: Grid) -> None:
    """The parts that belong to one page alone make up the whole sheet, each point once."""
    cores = [shapely.box(*grid.core(cell)) for cell in cells_of(grid)]
    sheet = shapely.box(*grid.bounds)
    assert sum(core.area for core in cores) == pytest.approx(sheet.area, rel=1e-9)
    assert shapely.union_all(cores, grid_size=1e-6).area == pytest.approx(sheet.area, rel=1e-6)
    assert all(sheet.buffer(1e-6).covers(core) for core in cores)


@settings(deadline=None)
@given(grids)
def test_a_core_lies_in_its_own_window(grid: Grid) -> None:
    """What only one page is for can be printed by that page."""
    for cell in cells_of(grid):
        window = grid.window(cell).grown(1e-9)
        assert shapely.box(*window).covers(shapely.box(*grid.core(cell)))


@settings(deadline=None)
@given(grids)
def test_the_sheet_is_exactly_all_windows_together(grid: Grid) -> None:
    """The sheet begins at the origin and ends with the outermost windows."""
    together = bounds_of([grid.window(cell) for cell in cells_of(grid)])
    assert together == pytest.approx(grid.bounds, abs=1e-9)
    assert (grid.bounds.left, grid.bounds.bottom) == (0, 0)


@settings(deadline=None)
@given(grids)
def test_printable_areas_of_neighbours_cover_each_other_by_the_overlap(grid: Grid) -> None:
    """The overlap is what the person asked for, measured between printable areas."""
    across, down = grid.setup.pitch
    printable = grid.setup.printable
    assert printable.width - across == pytest.approx(grid.setup.overlap, abs=1e-9)
    assert printable.height - down == pytest.approx(grid.setup.overlap, abs=1e-9)


@settings(deadline=None)
@given(grids)
def test_origins_step_by_the_pitch_right_and_down(grid: Grid) -> None:
    """A page's corner moves by the pitch with each column, and down with each row."""
    across, down = grid.setup.pitch
    first = grid.origin(Cell(0, 0))
    for cell in cells_of(grid):
        here = grid.origin(cell)
        assert here.x - first.x == pytest.approx(cell.column * across, abs=1e-9)
        assert here.y - first.y == pytest.approx(-cell.row * down, abs=1e-9)
    last = grid.origin(Cell(grid.rows - 1, 0))
    # The window of the lowest row stands on the sheet's lower edge.
    assert last.y + grid.setup.window.bottom == pytest.approx(0, abs=1e-9)


@settings(deadline=None)
@given(setups, lengths(1, 3000), lengths(1, 3000))
def test_the_smallest_grid_covers_the_sheet_and_one_page_less_does_not(
    setup: PageSetup, width: float, height: float
) -> None:
    """Rows and columns are as few as cover the asked size."""
    grid = Grid.smallest(setup, width, height)
    assert grid.bounds.width >= width - 1e-6
    assert grid.bounds.height >= height - 1e-6
    if grid.columns > 1:
        assert Grid(setup, grid.rows, grid.columns - 1).bounds.width < width
    if grid.rows > 1:
        assert Grid(setup, grid.rows - 1, grid.columns).bounds.height < height


def test_a_sheet_of_exactly_one_window_is_one_page() -> None:
    """Rounding never adds a page to what just fits."""
    setup = PageSetup(find_paper("a4"))
    window = setup.window
    assert Grid.smallest(setup, window.width, window.height) == Grid(setup, 1, 1)
    across, _ = setup.pitch
    assert Grid.smallest(setup, window.width + 2 * across, window.height) == Grid(setup, 1, 3)
    assert Grid.smallest(setup, window.width + 0.01, window.height) == Grid(setup, 1, 2)


def test_a4_with_10_mm_margin_and_overlap_by_hand() -> None:
    """210 x 297 less twice 10 is 190 x 277; less strips of 3.4: 183.2 x 270.2; pitch 180 x 267."""
    setup = PageSetup(find_paper("a4"))
    assert setup.printable == Bounds(10, 10, 200, 287)
    assert setup.window == pytest.approx(Bounds(13.4, 13.4, 196.6, 283.6))
    assert setup.pitch == (180, 267)
    assert setup.bleed == pytest.approx(1.6)
    grid = Grid(setup, 2, 3)
    assert grid.bounds == pytest.approx(Bounds(0, 0, 2 * 180 + 183.2, 267 + 270.2))
    assert grid.core(Cell(0, 1)) == pytest.approx(Bounds(181.6, 268.6, 361.6, 537.2))
    assert grid.origin(Cell(1, 0)) == pytest.approx((-13.4, -13.4))


def test_landscape_swaps_the_sides_of_the_paper() -> None:
    """A page that lies on its long side is as wide as the upright one is high."""
    paper = find_paper("letter")
    lying = PageSetup(paper, landscape=True)
    assert (lying.width, lying.height) == (paper.height, paper.width)
    assert lying.words == "Letter landscape"
    assert PageSetup(paper).words == "Letter portrait"


@pytest.mark.parametrize(
    ("row", "column", "name"),
    [
        (0, 0, "A1"),
        (0, 9, "A10"),
        (25, 0, "Z1"),
        (26, 0, "AA1"),
        (27, 2, "AB3"),
        (51, 0, "AZ1"),
        (52, 0, "BA1"),
        (701, 0, "ZZ1"),
        (702, 0, "AAA1"),
    ],
)
def test_page_names_count_like_columns_of_a_ledger(row: int, column: int, name: str) -> None:
    """Letters for rows, A to Z, then AA; numbers for columns from 1."""
    assert Cell(row, column).name == name


def test_no_two_pages_share_a_name() -> None:
    """A name means one page only, in grids of any shape."""
    names = [Cell(row, column).name for row in range(800) for column in range(12)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("margin", [-0.1, 100.1, float("nan"), float("inf")])
def test_an_absurd_margin_is_refused(margin: float) -> None:
    """A margin lies between 0 and 100 mm."""
    with pytest.raises(PaperError, match="margin"):
        PageSetup(find_paper("a0"), margin=margin)


@pytest.mark.parametrize("overlap", [0, 7.9, 60.1, float("nan")])
def test_an_absurd_overlap_is_refused(overlap: float) -> None:
    """The overlap holds both strips and 1 mm of pattern past the joint on each side."""
    with pytest.raises(PaperError, match="overlap"):
        PageSetup(find_paper("a4"), overlap=overlap)


@pytest.mark.parametrize("name", [n for n, p in PAPERS.items() if p.width < 148])
def test_paper_smaller_than_a5_is_refused(name: str) -> None:
    """The calibration squares do not fit on it."""
    with pytest.raises(PaperError, match="too small for the 100 mm calibration square"):
        PageSetup(find_paper(name))


@pytest.mark.parametrize("name", BIG_ENOUGH)
@pytest.mark.parametrize("landscape", [False, True])
def test_every_other_paper_is_accepted(name: str, landscape: bool) -> None:
    """From A5 up, both ways, the usual margin and overlap leave room."""
    setup = PageSetup(find_paper(name), landscape)
    assert min(setup.window.width, setup.window.height) >= 101.6 + 7


def test_a_margin_that_leaves_no_room_is_refused() -> None:
    """A5 with 40 mm margins has 68 mm left, and the message says what to change."""
    with pytest.raises(PaperError, match=r"smaller --margin or a larger paper") as told:
        PageSetup(find_paper("a5"), margin=40)
    assert "A5" in str(told.value)
