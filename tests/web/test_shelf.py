"""The shelf shows all that is there, whatever state it is in, and loses nothing."""

from __future__ import annotations

import html
import os
import re
import shutil
import time
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import DEMOS
from tests.web.door import client_of
from tiler.web.glances import part_id
from tiler.web.state import State


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def words(page: str) -> str:
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())


def steps(page: str) -> list[str]:
    """The obvious next steps of a page; there is one."""
    return re.findall(r'<(?:a|button)[^>]*class="next"[^>]*>(.*?)</', page)


def test_an_empty_shelf_leads_to_a_new_pattern(studio: TestClient) -> None:
    page = studio.get("/").text
    assert steps(page) == ["Begin a pattern"]
    assert 'class="next" href="/begin"' in page
    for demo in ("Potting apron", "Panelled sun hat", "Gardener's smock", "Work trousers"):
        assert demo in words(page)


def test_a_card_says_what_the_pattern_says_of_itself(studio: TestClient, smock: Path) -> None:
    page = studio.get("/").text
    for told in (
        "Gardener's smock",
        "Marrow Lane Allotment Society",
        "7 pieces",
        "styles: long, short, jacket",
        "today",
    ):
        assert told in words(page)
    assert steps(page) == ["Go on with Gardener&#39;s smock"]
    assert 'href="/p/smock/table"' in page


def test_what_was_changed_last_comes_first(studio: TestClient, smock: Path, hat: Path) -> None:
    long_ago = time.time() - 40 * 86400
    for file in hat.iterdir():
        os.utime(file, (long_ago, long_ago))
    page = studio.get("/").text
    assert page.index("/p/smock/table") < page.index("/p/hat/table")
    day = time.localtime(long_ago)
    assert f"{day.tm_year}-{day.tm_mon:02}-{day.tm_mday:02}" in page


def test_the_page_draws_nothing_and_the_picture_comes_from_its_own_address(
    studio: TestClient, hat: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = studio.get("/").text
    assert 'data-lazy="/p/hat/picture"' in page
    assert "<path" not in page
    part = studio.get("/p/hat/picture").text
    assert f'<div id="{part_id("hat")}"' in part
    assert "<?xml" not in part
    assert "style=" not in part
    for layer in ("paper", "cut", "stitch"):
        assert f'data-layer="{layer}"' in part


def test_a_picture_is_drawn_again_only_when_a_file_has_changed(
    studio: TestClient, state: State, hat: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = studio.get("/p/hat/picture").text
    with monkeypatch.context() as patched:
        patched.setattr(State, "drafts", lambda *_: pytest.fail("drafted again"))
        assert studio.get("/p/hat/picture").text == before
    # What is at hand stands in the page at once.
    assert 'data-layer="cut"' in studio.get("/").text
    (hat / "brim.svg").unlink()
    assert "brim.svg" in studio.get("/p/hat/picture").text


def test_a_pattern_that_cannot_be_read_is_shown_with_what_to_do(
    studio: TestClient, library: Path, hat: Path
) -> None:
    broken = library / "broken"
    broken.mkdir()
    (broken / "pattern.toml").write_text("title = 'Broken\n")
    garbled = library / "garbled"
    garbled.mkdir()
    (garbled / "pattern.toml").write_bytes(b"\xff\xfe\x00")
    shutil.copytree(hat, library / "torn")
    (library / "torn" / "brim.svg").write_text("<svg")
    answer = studio.get("/")
    assert answer.status_code == 200
    told = words(answer.text)
    assert told.count("Nothing in it was changed.") == 2
    assert "pattern.toml line 1" in told
    assert "Panelled sun hat" in told
    torn = studio.get("/p/torn/picture")
    assert torn.status_code == 200
    assert "brim.svg" in torn.text
    assert "trouble" in torn.text


def test_no_pattern_writes_its_own_page(studio: TestClient, hat: Path) -> None:
    file = hat / "pattern.toml"
    text = file.read_text()
    evil = "<script>alert(1)</script>"
    file.write_text(text.replace("Panelled sun hat", evil))
    for page in ("/", "/p/hat/picture"):
        assert evil not in studio.get(page).text


def test_a_pattern_is_opened_on_its_table(studio: TestClient, hat: Path) -> None:
    answer = studio.get("/p/hat", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/p/hat/table")
    assert studio.get("/p/nothing", follow_redirects=False).status_code in (404, 422)


def test_a_folder_that_is_a_pattern_itself_has_no_shelf(hat: Path) -> None:
    answer = client_of(State(hat)).get("/", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/p/hat/table")


def test_a_copy_holds_what_the_pattern_holds_and_not_what_was_made_of_it(
    studio: TestClient, library: Path, hat: Path
) -> None:
    plain = contents(hat)
    for made in ("sheets/hat-a4.pdf", ".before/1.toml"):
        (hat / made).parent.mkdir()
        (hat / made).write_text("made")
    answer = studio.post("/p/hat/copy", data={"name": "hat for Oleh", "at": "x"})
    assert answer.status_code == 200
    assert "The copy is called hat for Oleh." in words(answer.text)
    assert contents(library / "hat for Oleh") == plain


@pytest.mark.parametrize(
    "name", ["", ".hat", "a/b", "..", "a\\b", "con", "x" * 200, "put-away", "hat", "bad?", "dot."]
)
@pytest.mark.parametrize("what", ["copy", "rename"])
def test_names_that_are_none_are_refused_in_place(
    studio: TestClient, library: Path, hat: Path, what: str, name: str
) -> None:
    before = contents(library)
    answer = studio.post(f"/p/hat/{what}", data={"name": name, "at": "field"})
    assert answer.status_code == 422
    assert 'data-at="field"' in answer.text
    assert contents(library) == before


def test_a_folder_gets_another_name(studio: TestClient, library: Path, hat: Path) -> None:
    before = contents(hat)
    answer = studio.post("/p/hat/rename", data={"name": "капелюх"})
    assert answer.status_code == 200
    assert not hat.exists()
    assert contents(library / "капелюх") == before
    assert "/p/%D0%BA%D0%B0%D0%BF%D0%B5%D0%BB%D1%8E%D1%85/table" in answer.text


def test_what_is_put_away_is_all_there_and_comes_back(
    studio: TestClient, library: Path, hat: Path
) -> None:
    (hat / "sheets").mkdir()
    (hat / "sheets" / "hat.pdf").write_text("published")
    before = contents(hat)
    for name in ("hat", "hat-2"):
        answer = studio.post("/p/hat/put-away")
        assert f"{name} is put away." in words(answer.text)
        shutil.copytree(library / "put-away" / "hat", hat)
    assert contents(library / "put-away" / "hat") == before
    shutil.rmtree(hat)
    assert steps(studio.get("/").text) == ["Begin a pattern"]
    assert "2 patterns are put away" in words(studio.get("/").text)
    answer = studio.post("/take-back", data={"name": "hat-2"})
    assert "hat-2 is on the shelf again." in words(answer.text)
    assert contents(library / "hat-2") == before
    studio.post("/take-back", data={"name": "hat"})
    assert not (library / "put-away").exists()


@pytest.mark.parametrize("name", ["", "..", "../hat", "hat/..", "nothing"])
def test_nothing_else_is_taken_back(
    studio: TestClient, library: Path, hat: Path, name: str
) -> None:
    (library / "put-away").mkdir()
    before = contents(library)
    assert studio.post("/take-back", data={"name": name}).status_code == 422
    assert contents(library) == before


def test_the_demos_have_pictures(studio: TestClient) -> None:
    part = studio.get("/demo/hat/picture").text
    assert f'id="{part_id("demo:hat")}"' in part
    assert 'data-layer="cut"' in part
    assert studio.get("/demo/nothing/picture").status_code == 422
    assert sorted(path.name for path in DEMOS.glob("*/pattern.toml")) != []


@pytest.mark.parametrize(("language", "told"), [("de", "3 Teile"), ("uk", "3 деталі")])
def test_the_shelf_speaks_the_users_language(
    studio: TestClient, hat: Path, language: str, told: str
) -> None:
    assert told in studio.get("/", headers={"accept-language": language}).text
