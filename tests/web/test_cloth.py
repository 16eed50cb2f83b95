"""The cloth page: laid as the command lays it, told in the user's words, kept only when asked."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from starlette.testclient import TestClient

from tests.job.seedpouch import seed_pouch
from tests.web.door import client_of
from tiler.cli.main import main
from tiler.job import read
from tiler.web.state import State

HERE = "/p/pouch/cloth"
#: What the form sends where only the way to lie and the effort were changed.
ASKED = {
    "cloth": "main",
    "width": "maker",
    "spread": "single",
    "shrinkage_along": "3 %",
    "shrinkage_across": "3 %",
    "effort": "quick",
}


@dataclass(frozen=True)
class Desk:
    """A studio in which the pouch's one cloth was laid."""

    pouch: Path
    state: State
    studio: TestClient


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    library = tmp_path_factory.mktemp("library")
    pouch = seed_pouch(library / "pouch")
    state = State(library)
    found = Desk(pouch, state, client_of(state))
    assert found.studio.post(f"{HERE}/lay", data=ASKED).status_code == 200
    ended(state, "lay")
    yield found
    state.works.end()


@pytest.fixture
def pouch(library: Path) -> Path:
    return seed_pouch(library / "pouch")


def ended(state: State, kind: str) -> None:
    work = state.works.of(kind)[0]
    work.wait(60)
    assert not work.going
    assert work.error is None


def parts(text: str) -> set[str]:
    """Ids of the elements that stand on the top level."""
    found, level = set(), 0
    for slash, name, rest in re.findall(r"<(/?)([a-zA-Z0-9]+)([^>]*)>", text):
        if name == "input" or rest.endswith("/"):
            continue
        if not slash and level == 0 and (own := re.search(r'\bid="([^"]+)"', rest)):
            found.add(own[1])
        level += -1 if slash else 1
    return found


def test_the_page_shows_what_the_pattern_says_of_a_cloth(studio: TestClient, pouch: Path) -> None:
    page = studio.get(HERE).text
    assert page.count('class="next"') == page.count("<h1>") == 1
    assert "90 cm (35 1/2 in), as the pattern says" in page
    assert 'name="shrinkage_along" value="3 %"' in page
    assert "Firm linen" in page


def test_the_plan_is_the_one_that_the_command_finds(desk: Desk, tmp_path: Path) -> None:
    """With a quick search the same plan comes out again, to the bytes of its picture."""
    command = f"cloth {desk.pouch} --width 90cm --single --effort quick --json --out {tmp_path}"
    found = CliRunner().invoke(main, command.split())
    assert found.exit_code == 0, found.output
    (told,) = json.loads(found.stdout)["cloths"][0]["plans"]
    answer = desk.studio.get(f"{HERE}/laid?cloth=main").text
    assert f'<span class="big">{told["buy_metres"]} m</span>' in answer
    assert f'<span class="big">{told["buy_yards"]} yd</span>' in answer
    saved = desk.studio.post(f"{HERE}/save", data={"cloth": "main", "language": "en"})
    name = Path(told["file"]).name
    assert f"/p/pouch/made/sheets/{name}?show" in saved.text
    assert saved.text.count('class="next"') == 1
    assert (desk.pouch / "sheets" / name).read_bytes() == Path(told["file"]).read_bytes()


def test_what_changes_comes_as_parts_of_the_page(desk: Desk) -> None:
    page = desk.studio.get(HERE).text
    answer = desk.studio.get(f"{HERE}/laid?cloth=main").text
    assert parts(answer) == {"cloths", "lay-go", "laying", "plan", "widths"}
    assert all(f'id="{part}"' in page for part in parts(answer))
    assert page.count('class="next"') == answer.count('class="next"') == 1
    assert '<svg role="img"' in page
    assert " style=" not in page


def test_the_form_shows_what_was_asked_for_last(desk: Desk) -> None:
    page = desk.studio.get(HERE).text
    for said in ("maker", "single", "quick"):
        assert f'value="{said}" checked' in page


def test_a_plan_is_told_in_the_language_of_the_user(desk: Desk) -> None:
    studio = client_of(desk.state)
    studio.cookies.set("studio_settings", "uk.mm.auto")
    answer = studio.get(f"{HERE}/laid?cloth=main").text
    assert "основна тканина (main)" in answer
    assert re.search(r'class="big">\d+,\d м<', answer)


def test_what_nobody_has_said_is_supposed_and_told(desk: Desk) -> None:
    """The pouch says width, nap and shrinkage, and nothing of a check or of selvedges."""
    answer = desk.studio.get(f"{HERE}/laid?cloth=main").text
    told = re.findall(r"<li>(.*?)</li>", answer.split("Supposed", 1)[1].split("</ul>")[0])
    assert told == ["there is no check to match", "10 mm stay free along each selvedge"]


def test_all_common_widths_can_be_compared_afterwards(desk: Desk) -> None:
    """90, 110, 140, 150 cm and 36, 44, 54, 60 in (common practice, no source)."""
    begun = desk.studio.post(f"{HERE}/compare", data={"cloth": "main"})
    assert parts(begun.text) == {"widths"}
    ended(desk.state, "compare widths")
    table = desk.studio.get(f"{HERE}/compared?cloth=main").text
    widths = [float(each) for each in re.findall(r'<th scope="row">([\d.]+) cm', table)]
    assert widths == [90, 91.4, 110, 111.8, 137.2, 140, 150, 152.4]
    assert table.count('class="drawn"') == 1


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("shrinkage_along", "five"),
        ("repeat_across", "4 elbows"),
        ("tilt", "-2"),
        ("gap", "wide"),
        ("other", "as wide as a door"),
    ],
)
def test_a_field_that_cannot_be_read_is_told_beside_it(
    studio: TestClient, state: State, pouch: Path, field: str, value: str
) -> None:
    said = ASKED | {"width": "other" if field == "other" else "maker", field: value}
    answer = studio.post(f"{HERE}/lay", data=said)
    assert answer.status_code == 422
    assert f'data-at="{field}"' in answer.text
    assert state.works.of("lay") == ()


def test_a_width_that_no_cloth_has_is_refused_where_the_plan_would_be(
    studio: TestClient, state: State, pouch: Path
) -> None:
    studio.post(f"{HERE}/lay", data=ASKED | {"width": "other", "other": "3"})
    state.works.of("lay")[0].wait(60)
    assert "not between 50 and 20000 mm" in studio.get(HERE).text


def test_nothing_typed_goes_into_the_pattern_until_it_is_kept(
    studio: TestClient, pouch: Path
) -> None:
    before = (pouch / "pattern.toml").read_bytes()
    page = studio.get(HERE).text
    based = re.search(r'name="based_on" value="(\w+)"', page)
    assert based
    said = {"width": "other", "other": "60 in", "nap": "yes"}
    said |= {"shrinkage_along": "2,5 %", "shrinkage_across": ""}
    answer = studio.post(f"{HERE}/keep", data=ASKED | said | {"based_on": based[1]})
    assert answer.headers["x-studio-go"] == f"{HERE}?cloth=main&kept=1"
    assert (pouch / "pattern.toml").read_bytes() != before
    facts = read(pouch).handover.cloth("main")
    assert facts.width == pytest.approx(1524)
    assert facts.nap is True
    assert facts.shrinkage == (0.025, 0.0)
    assert facts.repeat is None


def test_a_plan_of_an_earlier_pattern_says_so(desk: Desk) -> None:
    file = desk.pouch / "pattern.toml"
    now = file.read_text("utf-8")
    file.write_text(now.replace("Firm linen", "Thin linen"), "utf-8")
    try:
        page = desk.studio.get(HERE).text
    finally:
        file.write_text(now, "utf-8")
    assert "The pattern has changed since" in page
    assert '<button id="lay" class="next">' in page


def test_a_pattern_without_cloths_says_what_to_do(studio: TestClient, library: Path) -> None:
    cut = 'cut__=__{__count__=__2,__cloth__=__"main",__lay__=__"copies"__}'
    seed_pouch(library / "pouch", **{cut: ""})
    page = studio.get(HERE).text
    assert "Nobody has said what the pieces are cut from" in page
    assert page.count('class="next"') == 1
