"""The table's page and parts, asked as a page of the studio asks."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.demos import drafted_demo
from tiler.drafting.checks import inspect
from tiler.pattern.units import format_mm
from tiler.web.state import State
from tiler.web.words import LANGUAGES

TABLE = "/p/hat/table"


def ids(html: str) -> list[str]:
    return re.findall(r'(?:^|(?<=[>\n]))<(?:div|section|nav|p) id="([^"]+)"', html)


def change(folder: Path, old: str, new: str) -> None:
    file = folder / "pattern.toml"
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def test_the_table_shows_the_first_piece_and_each_piece_has_an_address(
    studio: TestClient, hat: Path
) -> None:
    page = studio.get(TABLE)
    assert page.status_code == 200
    assert "<h1>Crown panel</h1>" in page.text
    for piece in drafted_demo("hat").pieces:
        address = f"{TABLE}/{piece.name.replace(' ', '%20')}"
        assert f'href="{address}"' in page.text
        assert f"<h1>{piece.name}</h1>" in studio.get(address).text
    missing = studio.get(f"{TABLE}/Cuff")
    assert missing.status_code == 422
    assert "Crown panel, Brim, Inner band" in missing.text


def test_an_edge_is_named_with_its_length_and_its_allowance_in_the_users_unit(
    studio: TestClient, smock: Path
) -> None:
    """The front's neck has 10 mm by its own pattern file."""
    text = unescape(studio.get("/p/smock/table/Front").text)
    front = drafted_demo("smock").pieces[0]
    neck = next(edge for edge in front.stitch[0].edges if edge.letter == "B")
    length = format_mm(neck.path.length)
    assert f'aria-label="Edge B, neck, {length} on the stitch line, allowance 10 mm"' in text
    assert '<a href="/p/smock/table/Front%20neck%20facing?edge=B">' in text
    studio.cookies.set("studio_settings", "en.in.auto")
    text = unescape(studio.get("/p/smock/table/Front").text)
    # 10 mm are 0.394 in, and no sixteenth is nearer to that than 0.5 mm.
    assert re.search(r'"Edge B, neck, [\d./ ]+ in on the stitch line, allowance 0.39 in"', text)
    assert 'data-units="in"' in text


def test_each_edge_names_what_it_is_sewn_to_with_a_way_there(
    studio: TestClient, smock: Path
) -> None:
    sleeve = unescape(studio.get("/p/smock/table/Sleeve").text)
    assert '<a href="/p/smock/table/Back?edge=D">Back D (armhole)</a>' in sleeve
    # The underarm is sewn to the other side of the same piece.
    assert 'href="/p/smock/table/Sleeve?edge=A" data-choose="edge:A"' in sleeve


def test_a_change_of_the_file_is_redrawn_and_what_is_as_shown_is_not_sent_again(
    studio: TestClient, hat: Path
) -> None:
    address = f"{TABLE}/Brim/parts"
    first = studio.get(address)
    assert ids(first.text) == ["undrafted", "picture", "lengths"]
    (digest,) = re.findall(r'data-digest="([^"]+)"', first.text)
    assert studio.get(address, params={"of": digest}).status_code == 204
    change(hat, "outer edge", "rim")
    again = studio.get(address, params={"of": digest})
    assert again.status_code == 200
    assert "rim" in again.text


def test_what_the_check_finds_is_listed_and_rung_at_its_place(
    studio: TestClient, smock: Path, state: State
) -> None:
    change(smock, 'ease = "15 mm"', 'ease = "40 mm"')
    found = inspect(state.drafts(smock).read(smock))
    assert not found.sound
    parts = studio.get("/p/smock/table/Sleeve/findings")
    assert ids(parts.text) == ["findings", "rings", "seams", "pieces", "next"]
    text = unescape(parts.text)
    for number, fault in enumerate(found.faults, start=1):
        assert f'id="finding-{number}"' in text
        assert fault.text in text
        assert fault.remedy in text
        here = any(spot.piece == "Sleeve" for spot in fault.spots)
        assert (f'data-layer="spot:{number}"' in text) is here
    assert '<a class="next" href="#finding-1" data-spot="1">' in text
    # From a piece that has nothing to do with it the next step leads to one that has.
    pocket = studio.get("/p/smock/table/Patch%20pocket/findings").text
    assert re.search(r'<a class="next" href="/p/smock/table/[^"]+\?finding=1">', pocket)


def test_the_seams_are_told_as_they_were_walked(studio: TestClient, smock: Path) -> None:
    """The sleeve head is 15 mm longer than the armholes, as its pattern file says."""
    text = unescape(studio.get("/p/smock/table/Sleeve/findings").text)
    (row,) = re.findall(r'<th scope="row">sleeve head</th>(.*?)</tr>', text, re.DOTALL)
    first, second, more, meant = (float(number) for number in re.findall(r"([\d.]+) mm<", row))
    assert second - first == pytest.approx(15, abs=0.15)
    assert more == pytest.approx(15, abs=0.1)
    assert meant == 15
    assert 'href="/p/smock/printer"' in text


def test_a_file_that_does_not_hold_together_is_told_over_the_last_picture(
    studio: TestClient, hat: Path
) -> None:
    before = studio.get(f"{TABLE}/Brim").text
    change(hat, "title =", "titel =")
    refused = studio.get(f"{TABLE}/Brim/parts")
    assert refused.status_code == 422
    assert ids(refused.text) == ["trouble"]
    page = studio.get(f"{TABLE}/Brim")
    assert page.status_code == 200
    assert "titel" in page.text
    picture = re.compile(r"<svg class=\"piece\".*?</svg>", re.DOTALL)
    assert picture.findall(page.text) == picture.findall(before)
    assert page.text.count('class="next"') == 1
    change(hat, "titel =", "title =")
    assert "undrafted" in studio.get(f"{TABLE}/Brim/parts").text


def test_without_any_picture_that_held_the_error_stands_alone(
    studio: TestClient, hat: Path
) -> None:
    change(hat, "title =", "titel =")
    answer = studio.get(TABLE)
    assert answer.status_code == 422
    assert "titel" in answer.text


def test_the_table_speaks_every_language(studio: TestClient, smock: Path) -> None:
    for language in LANGUAGES:
        studio.cookies.set("studio_settings", f"{language}.mm.auto")
        for name in ("Back", "Seed%20pocket"):
            assert studio.get(f"/p/smock/table/{name}").status_code == 200
            assert studio.get(f"/p/smock/table/{name}/findings").status_code == 200
