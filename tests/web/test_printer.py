"""The printer page makes what the command makes, and shows where the pieces lie."""

from __future__ import annotations

import html
import re
import shlex
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader
from starlette.testclient import TestClient

from tiler.cli.main import main
from tiler.job import Packing, Surface, read
from tiler.job.editing import version_of
from tiler.job.planning import plan_and_tell, plan_pages
from tiler.layout.plan import Plan
from tiler.web.printer.desk import Laid, desk_of
from tiler.web.printer.order import Order, order_of
from tiler.web.settings import Settings
from tiler.web.state import State

QUICK = {"paper": "a4", "effort": "quick"}
#: Two pieces that take two or three pages of A4.
PATTERN = """\
title = "Kneeling pad"
allowance = "10 mm"
traced = "cut"

[cloth]
main = "Canvas"

[[piece]]
name = "Cover"
drawing = "cover.svg"
cut = { count = 2, cloth = "main", lay = "copies" }

[[piece]]
name = "Loop"
drawing = "loop.svg"
cut = { count = 1, cloth = "main", lay = "copies" }
"""
SVG = """\
<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">
<path d="M1,1 L1,{b} L{r},{b} L{r},1 Z" fill="none" stroke="black"/></svg>
"""


def write_pad(library: Path) -> Path:
    folder = library / "pad"
    folder.mkdir(parents=True)
    (folder / "pattern.toml").write_text(PATTERN, "utf-8")
    for name, (w, h) in {"cover": (250, 180), "loop": (60, 120)}.items():
        drawn = SVG.format(w=w, h=h, r=w - 1, b=h - 1)
        (folder / f"{name}.svg").write_text(drawn, "utf-8")
    return folder


@pytest.fixture
def pad(library: Path) -> Path:
    return write_pad(library)


def finished(studio: TestClient, state: State, answer: str) -> str:
    """What the page shows once the work that an answer speaks of is done."""
    found = re.search(r"/work/(\w+)\?done=([^\"]+)", answer)
    assert found, answer
    state.works.get(found[1]).wait(120)
    error = state.works.get(found[1]).error
    assert error is None, error
    return studio.get(found[2]).text


def plan_named(part: str) -> str:
    found = re.search(r'data-plan="(\w+)"', part)
    assert found, part
    return found[1]


def count(part: str) -> int:
    found = re.search(r'class="big"[^>]*>(\d+)<', part)
    assert found, part
    return int(found[1])


def command_in(part: str) -> list[str]:
    found = re.search(r'<pre class="command"[^>]*><code>(.*?)</code>', part, re.DOTALL)
    assert found
    return shlex.split(html.unescape(found[1]))[1:]


@pytest.fixture(scope="module")
def plan() -> Iterator[Plan]:
    """Of the pad on A4, made once."""
    with tempfile.TemporaryDirectory() as folder:
        pattern = read(write_pad(Path(folder)))
        yield plan_pages(pattern, Surface("a4"), Packing("quick"))


@pytest.fixture
def pad_plan(pad: Path, studio: TestClient, state: State, plan: Plan) -> str:
    """The part of the page that shows it; what the worker finds is at hand already."""
    order = Order(effort="quick")
    desk_of(state).put(Laid("pad", version_of(pad), order, plan))
    return studio.post("/p/pad/printer/plan", data=QUICK).text


def test_the_plan_is_looked_for_beside_the_page(
    pad: Path, studio: TestClient, state: State, plan: Plan
) -> None:
    answer = studio.post("/p/pad/printer/plan", data=QUICK)
    same = studio.post("/p/pad/printer/plan", data={**QUICK, "joint": "see-through"})
    assert re.findall(r"/work/(\w+)", same.text) == re.findall(r"/work/(\w+)", answer.text)
    shown = finished(studio, state, answer.text)
    assert count(shown) == len(plan.cells)
    again = studio.post("/p/pad/printer/plan", data={**QUICK, "joint": "butt"}).text
    assert plan_named(again) == plan_named(shown), "how pages are taped does not move pieces"


def test_the_pdf_is_that_of_the_command_and_has_the_pages_that_are_told(
    pad: Path, studio: TestClient, state: State
) -> None:
    sent = {**QUICK, "joint": "butt", "margin": "1/2 in", "gap": "6", "seed": "3"}
    order = order_of(lambda name, default: sent.get(name, default), (), Settings())
    laid = plan_pages(read(pad), order.surface, order.packing)
    desk_of(state).put(Laid("pad", version_of(pad), order, laid))
    assert "print pages" not in studio.post("/p/pad/printer/plan", data=sent).text
    answer = studio.post("/p/pad/printer/publish", data=sent)
    shown = finished(studio, state, answer.text)
    assert "Proven true to size" in shown
    (made,) = (pad / "sheets").glob("*.pdf")
    (drawn,) = (pad / "sheets").glob("*.png")
    texts = [page.extract_text() for page in PdfReader(made).pages]
    for name in ("Cover", "Loop"):
        found = re.search(rf'data-piece="{name}".*?<code>([\d, -]+)</code>', shown, re.DOTALL)
        assert found
        # pypdf's own text of each page: the name stands on at least one page that is told.
        assert any(name in texts[number - 1] for number in numbers(found[1]))
    ours = made.read_bytes(), drawn.read_bytes()
    made.unlink()
    # The page tells the command that does the same: it is run as it stands there.
    result = CliRunner().invoke(main, command_in(shown), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    assert (made.read_bytes(), drawn.read_bytes()) == ours


def test_usual_choices_are_those_of_the_command(tmp_path: Path) -> None:
    command = shlex.split(Order().command(tmp_path))
    assert command == [
        *("blocksheet", "publish", str(tmp_path), "--on", "a4"),
        *("--map", "png", "--out", str(tmp_path / "sheets")),
    ]
    form = order_of(lambda name, default: default, (), Settings(units="in"))
    assert form == Order(), "also where the fields show inches"


def numbers(told: str) -> list[int]:
    """As a print window reads ``4-6, 9``."""
    found: list[int] = []
    for part in told.split(","):
        first, _, last = part.strip().partition("-")
        found += range(int(first), int(last or first) + 1)
    return found


def test_a_piece_is_moved_and_the_move_is_taken_back(studio: TestClient, pad_plan: str) -> None:
    name = plan_named(pad_plan)
    sent = {"plan": name, "piece": "Loop", "dx": "2000", "dy": "0", "turn": "0"}
    far = studio.post("/p/pad/printer/move", data=sent)
    assert far.status_code == 200
    # Two metres to the right there is a page for it that was not needed before.
    assert "not_kept" not in far.text
    assert "You have moved pieces" in far.text
    back = studio.post("/p/pad/printer/undo", data={"plan": plan_named(far.text)})
    assert plan_named(back.text) == name
    assert count(back.text) == count(pad_plan)


def test_pieces_over_one_another_are_named_and_not_kept(
    studio: TestClient, pad: Path, pad_plan: str
) -> None:
    before = (pad / "pattern.toml").read_bytes()
    places = {name: centre(pad_plan, name) for name in ("Loop", "Cover")}
    dx = (places["Cover"][0] - places["Loop"][0]) * 5
    dy = (places["Loop"][1] - places["Cover"][1]) * 5
    sent = {"plan": plan_named(pad_plan), "piece": "Loop", "dx": f"{dx}", "dy": f"{dy}"}
    shown = studio.post("/p/pad/printer/move", data=sent).text
    assert "Cover and Loop lie over one another" in shown
    refused = studio.post("/p/pad/printer/keep", data={"plan": plan_named(shown)})
    assert refused.status_code == 422
    assert (pad / "pattern.toml").read_bytes() == before


def centre(part: str, piece: str) -> tuple[float, float]:
    """The middle of a piece in the picture, which is drawn at a fifth of its size, y down."""
    found = re.search(rf'data-layer="piece:{piece}">.*?<path d="([^"]+)"', part, re.DOTALL)
    assert found
    values = [float(word) for word in re.findall(r"-?\d+(?:\.\d+)?", found[1])]
    across, down = values[::2], values[1::2]
    return (min(across) + max(across)) / 2, (min(down) + max(down)) / 2


def test_a_kept_layout_is_what_is_published(
    studio: TestClient, state: State, pad: Path, pad_plan: str
) -> None:
    sent = {"plan": plan_named(pad_plan), "piece": "Loop", "dx": "0", "dy": "-1.5"}
    moved = studio.post("/p/pad/printer/move", data=sent).text
    kept = studio.post("/p/pad/printer/keep", data={"plan": plan_named(moved)})
    assert kept.status_code == 200, kept.text
    assert "[[placed]]" in (pad / "pattern.toml").read_text("utf-8")
    # What the command would lay now.
    found = plan_and_tell(read(pad), Surface("a4"), Packing("quick"))
    assert found.by_hand
    assert len(found.plan.cells) == count(moved)
    laid = desk_of(state).planned("pad", version_of(pad), Order(effort="quick"))
    assert laid
    assert laid.plan.code == found.plan.code, "what is seen is what is printed, to the last digit"
    anew = studio.post("/p/pad/printer/anew", data={"plan": plan_named(kept.text)})
    assert anew.headers["x-studio-go"] == "/p/pad/printer"
    assert "[[placed]]" not in (pad / "pattern.toml").read_text("utf-8")


def test_nothing_is_moved_by_hand_on_a_roll(pad: Path, studio: TestClient, state: State) -> None:
    order = Order("roll:914 mm", effort="quick")
    laid = plan_pages(read(pad), order.surface, order.packing)
    desk_of(state).put(Laid("pad", version_of(pad), order, laid))
    sent = {**QUICK, "paper": "roll", "roll": "914 mm"}
    shown = studio.post("/p/pad/printer/plan", data=sent).text
    assert "of paper" in shown
    assert 'data-kind="roll"' in shown
    assert "data-move" not in shown


@pytest.mark.parametrize(
    ("field", "value"),
    [("margin", "a lot"), ("paper", "a99"), ("roll", "3 mm"), ("gap", "-")],
)
def test_what_cannot_be_is_refused_at_its_field(
    field: str, value: str, pad: Path, studio: TestClient
) -> None:
    sent = {**QUICK, field: value} | ({"paper": "roll"} if field == "roll" else {})
    for address in ("plan", "publish"):
        answer = studio.post(f"/p/pad/printer/{address}", data=sent)
        assert answer.status_code == 422
        assert f'data-at="{field}"' in answer.text


@pytest.mark.parametrize("name", ["", "0" * 16])
def test_a_plan_that_is_not_at_hand_is_refused(name: str, pad: Path, studio: TestClient) -> None:
    sent = {"plan": name, "piece": "Cover", "dx": "1"}
    assert studio.post("/p/pad/printer/move", data=sent).status_code == 422


@pytest.mark.parametrize("way", ["inf", "nan", "1e9", "x"])
def test_no_piece_is_moved_out_of_the_world(way: str, studio: TestClient, pad_plan: str) -> None:
    sent = {"plan": plan_named(pad_plan), "piece": "Cover", "dx": way}
    assert studio.post("/p/pad/printer/move", data=sent).status_code == 422


def test_there_is_one_next_step(pad: Path, studio: TestClient) -> None:
    page = studio.get("/p/pad/printer").text
    assert len(re.findall(r'class="next"', page)) == 1
    assert len(re.findall(r"<h1", page)) == 1


def test_choices_are_there_again_when_one_comes_back(
    pad: Path, studio: TestClient, pad_plan: str
) -> None:
    studio.post("/p/pad/printer/plan", data={**QUICK, "joint": "butt"})
    page = studio.get("/p/pad/printer").text
    assert plan_named(page) == plan_named(pad_plan)
    assert re.search(r'value="butt" checked', page)
    assert re.search(r'value="a3" selected', studio.get("/p/pad/printer?paper=a3").text)
