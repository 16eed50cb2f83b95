"""A mat is made, its grid is shown, measured and kept, and pieces are shown on it."""

from __future__ import annotations

import html
import io
import math
from pathlib import Path

import pytest
from PIL import Image
from starlette.testclient import TestClient

from tiler.job.mats import find_mat, mats, measure_mat, new_mat
from tiler.layout.mats.lengths import NAMES
from tiler.pattern.units import format_mm
from tiler.web.mats.lines import LINES, lines_of

NEW = {
    "name": "bench",
    "across_px": "800",
    "down_px": "600",
    "width": "900",
    "height": "600",
}
#: A rectangle of 720 by 520 mm, which is what 720 by 520 pixels inside the border are when one
#: pixel is 1 mm; its diagonals by Pythagoras.
DIAGONAL = math.hypot(720, 520)
LENGTHS = {
    "lower": "720",
    "right": "520",
    "upper": "720",
    "left": "520",
    "rising": f"{DIAGONAL:.1f}",
    "falling": f"{DIAGONAL:.1f}",
    "middle-level": "720",
    "middle-upright": "520",
}


@pytest.fixture
def bench(library: Path) -> None:
    new_mat("bench", "800x600", "900 mm x 600 mm")


def test_a_mat_is_made_and_forgotten(library: Path, studio: TestClient) -> None:
    answer = studio.post("/mats/new", data=NEW)
    assert answer.headers["x-studio-go"] == "/mats/bench"
    mat = find_mat("bench")
    assert (mat.width_px, mat.height_px, mat.width, mat.height) == (800, 600, 900, 600)
    assert studio.get("/mats/bench").status_code == 200
    assert studio.post("/mats/bench/forget").headers["x-studio-go"] == "/mats"
    assert mats() == ()


def test_a_mat_in_inches(library: Path, studio: TestClient) -> None:
    studio.cookies.set("studio_settings", "en.in.auto")
    studio.post("/mats/new", data={**NEW, "width": "36", "height": "24 1/2"})
    assert (find_mat("bench").width, find_mat("bench").height) == pytest.approx((914.4, 622.3))


@pytest.mark.parametrize(
    ("field", "value", "at"),
    [
        ("name", "", "name"),
        ("down_px", "many", "across_px"),
        ("across_px", "20", "across_px"),
        ("width", "x", "width"),
        ("height", "9 m", "width"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(
    field: str, value: str, at: str, library: Path, studio: TestClient
) -> None:
    answer = studio.post("/mats/new", data={**NEW, field: value})
    assert answer.status_code == 422
    assert f'data-at="{at}"' in answer.text
    assert mats() == ()


@pytest.mark.usefixtures("bench")
def test_the_grid_has_the_projectors_own_pixels(studio: TestClient) -> None:
    picture = Image.open(io.BytesIO(studio.get("/mats/bench/grid/png").content))
    assert picture.size == (800, 600)
    assert studio.get("/mats/bench/grid/pdf").content.startswith(b"%PDF")
    assert studio.get("/mats/bench/grid/exe").status_code == 422
    stage = studio.get("/mats/bench/show").text
    assert "/mats/bench/grid/png?show" in stage
    # The lamp is told of on every page that leads to a projector (the words of our cautions).
    for page in (stage, studio.get("/mats").text, studio.get("/mats/bench").text):
        assert "Do not look into the beam or the lens" in page


@pytest.mark.usefixtures("bench")
def test_measuring_says_what_the_job_says(studio: TestClient) -> None:
    shown = html.unescape(studio.post("/mats/bench/measure", data=LENGTHS).text)
    kept = find_mat("bench")
    found = measure_mat("bench", {key: float(LENGTHS[key]) for key in NAMES})
    assert kept == found.mat
    assert f"within {format_mm(found.misfit)}" in shown
    assert f"{found.usable.width:.0f} mm × {found.usable.height:.0f} mm" in shown
    # One pixel is 1 mm by the lengths that were typed.
    assert max(found.accuracy.pixel_sizes) == pytest.approx(1.0, abs=0.01)


@pytest.mark.usefixtures("bench")
def test_a_number_that_was_mistyped_is_shown_at_its_field(studio: TestClient) -> None:
    answer = studio.post("/mats/bench/measure", data={**LENGTHS, "right": "250"})
    assert answer.status_code == 422
    assert 'data-at="right"' in answer.text
    assert find_mat("bench").corners is None


@pytest.mark.usefixtures("bench")
@pytest.mark.parametrize(("key", "value"), [("upper", ""), ("rising", "x")])
def test_a_number_that_is_missing_or_none_is_refused_at_its_field(
    key: str, value: str, studio: TestClient
) -> None:
    answer = studio.post("/mats/bench/measure", data={**LENGTHS, key: value})
    assert answer.status_code == 422
    assert f'data-at="{key}"' in answer.text


@pytest.mark.usefixtures("bench")
def test_the_drawing_has_the_eight_lines() -> None:
    drawn = lines_of(find_mat("bench"))
    assert [line.key for line in drawn.lines] == list(NAMES)
    assert [line.number for line in LINES] == list(range(1, 9))
    lengths = {line.key: math.dist(*line.ends) for line in drawn.lines}
    assert lengths["rising"] == pytest.approx(math.hypot(lengths["lower"], lengths["left"]))
    assert lengths["middle-level"] == pytest.approx(lengths["upper"])


def test_a_mat_that_is_not_there_is_refused(library: Path, studio: TestClient) -> None:
    for address in ("/mats/nobody", "/mats/nobody/grid/png", "/mats/nobody/show"):
        assert studio.get(address).status_code in (404, 422)


@pytest.mark.parametrize(
    "address",
    [
        "/p/hat/windows/..%2f..%2fhome",
        "/p/hat/windows/nothing",
        "/p/hat/windows/set/..%2fpattern.toml",
        "/p/hat/windows/set/pattern.toml",
        "/p/hat/windows/away",
    ],
)
def test_pictures_come_from_the_sheets_alone(
    address: str, hat: Path, tmp_path: Path, studio: TestClient
) -> None:
    (hat / "sheets" / "set").mkdir(parents=True)
    (hat / "sheets" / "away").symlink_to(tmp_path)
    assert studio.get(address).status_code in (404, 422)


def test_pictures_are_stepped_through(hat: Path, studio: TestClient) -> None:
    folder = hat / "sheets" / "set"
    folder.mkdir(parents=True)
    for name in ("01-start.png", "02-brim.png"):
        Image.new("L", (8, 8)).save(folder / name)
    page = studio.get("/p/hat/windows/set").text
    assert page.index("01-start.png") < page.index("02-brim.png")
    picture = studio.get("/p/hat/windows/set/02-brim.png")
    assert picture.content == (folder / "02-brim.png").read_bytes()
