"""The hand-over page: the bundle is the command's, and what it lacks is told before it is made."""

from __future__ import annotations

import re
import subprocess
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner
from starlette.testclient import TestClient

from tests.job.seedpouch import DRAWING, seed_pouch
from tests.web.door import client_of
from tiler.cli.main import main
from tiler.job import read
from tiler.web.state import State

HERE = "/p/pouch/handover"
ASKED = {"paper": "a4", "language": "de", "units": "mm", "effort": "quick", "joint": "butt"}


@dataclass(frozen=True)
class Desk:
    """A studio in which the bundle was made."""

    pouch: Path
    state: State
    studio: TestClient

    @property
    def bundle(self) -> Path:
        return self.pouch / "sheets" / "seed-pouch.zip"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    library = tmp_path_factory.mktemp("library")
    pouch = seed_pouch(library / "pouch")
    state = State(library)
    found = Desk(pouch, state, client_of(state))
    begun = found.studio.post(f"{HERE}/give", data=ASKED)
    assert begun.status_code == 200
    assert "data-again" in begun.text
    work = state.works.of("give")[0]
    work.wait(120)
    assert work.error is None
    assert not work.going
    yield found
    state.works.end()


@pytest.fixture
def pouch(library: Path) -> Path:
    return seed_pouch(library / "pouch")


class _Headings(HTMLParser):
    """Levels of the headings, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.levels: list[int] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))


def levels(text: str) -> list[int]:
    found = _Headings()
    found.feed(text)
    return found.levels


def test_the_bundle_has_the_bytes_that_the_command_writes(desk: Desk, tmp_path: Path) -> None:
    target = tmp_path / "given.zip"
    command = f"give {desk.pouch} --on a4 --language de --units mm --effort quick --joint butt"
    found = CliRunner().invoke(main, [*command.split(), "--out", str(target)])
    assert found.exit_code == 0, found.output
    assert desk.bundle.read_bytes() == target.read_bytes()


def test_a_friend_finds_all_checksums_right(desk: Desk, tmp_path: Path) -> None:
    """With the programs that a friend has: unzip, and sha256sum of the GNU core utilities."""
    subprocess.run(["unzip", "-q", str(desk.bundle), "-d", str(tmp_path)], check=True)
    told = subprocess.run(
        ["sha256sum", "-c", "SHA256SUMS"], cwd=tmp_path, capture_output=True, text=True
    )
    assert told.returncode == 0, told.stderr
    assert told.stdout.count(": OK") == len([f for f in tmp_path.rglob("*") if f.is_file()]) - 1


def test_the_page_tells_what_is_in_it(desk: Desk) -> None:
    page = desk.studio.get(HERE).text
    with zipfile.ZipFile(desk.bundle) as bundle:
        for name in bundle.namelist():
            assert f"<code>{name}</code>" in page
    assert 'href="/p/pouch/made/sheets/seed-pouch.zip"' in page
    assert re.search(r"true to size, 0\.\d{3} mm off at most", page)
    got = desk.studio.get("/p/pouch/made/sheets/seed-pouch.zip")
    assert got.content == desk.bundle.read_bytes()
    assert page.count('class="next"') == page.count("<h1>") == 1


def test_the_words_to_send_are_in_the_language_of_the_bundle(desk: Desk) -> None:
    page = desk.studio.get(HERE).text
    letter = page.split('id="letter"', 1)[1].split("</textarea>")[0]
    for word in ("„Seed pouch“", "seed-pouch.zip", "READ-ME-FIRST.txt", "100 %", "Vorsichtsregeln"):
        assert word in letter


@pytest.mark.parametrize("language", ["en", "de", "uk"])
def test_the_notes_are_read_on_the_page_in_any_language(
    studio: TestClient, pouch: Path, language: str
) -> None:
    answer = studio.get(f"{HERE}/notes?language={language}&units=inch").text
    assert f'<article lang="{language}"' in answer
    assert "100 mm" not in answer.split("</svg>")[-1]
    assert not re.search(r"<style|\sstyle=|<script|<h1", answer)


def test_cautions_stand_in_the_notes_as_in_the_file(studio: TestClient, pouch: Path) -> None:
    """Sentence by sentence, those of the notes that go with the sheets."""
    from tiler.output.notes import notes_of

    whole = re.sub(r"<style.*?</style>", "", notes_of(read(pouch)).html, flags=re.S)
    shown = studio.get(f"{HERE}/notes?language=en").text
    wanted, there = (
        re.search(r"With care</h\d>(.*?)</section>", text, re.S) for text in (whole, shown)
    )
    assert wanted
    assert there
    assert wanted[1] == there[1]
    assert wanted[1].count("<li>") >= 3


def test_headings_go_down_step_by_step(studio: TestClient, pouch: Path) -> None:
    found = levels(studio.get(HERE).text)
    assert found.count(1) == 1
    assert all(next_one <= one + 1 for one, next_one in pairwise(found))


def test_what_a_pattern_says_is_shown_and_never_run(studio: TestClient, library: Path) -> None:
    evil = "<img src=x onerror=alert(1)>"
    seed_pouch(library / "pouch", **{"Seed__pouch": evil, "Hem__the__flap.": evil, "Flap": evil})
    page = studio.get(HERE).text
    assert "&lt;img src=x" in page
    assert "<img src=x" not in page


def test_private_notes_tell_nothing_of_the_maker(studio: TestClient, pouch: Path) -> None:
    assert "Quillon" in studio.get(f"{HERE}/notes").text
    assert "Quillon" not in studio.get(f"{HERE}/notes?private=1").text


def test_what_is_missing_leads_to_where_it_is_said(studio: TestClient, library: Path) -> None:
    seed_pouch(library / "pouch", **{"wearer__=": "# wearer =", "language__=": "# language ="})
    page = studio.get(HERE).text
    listed = page.split('id="missing-head"', 1)[1].split("</ul>")[0]
    assert re.findall(r">([^<>]+)</a>", listed) == [
        "The language that you write in",
        "Whether it is for an adult or a child",
    ]
    assert listed.count('href="/p/pouch/table?panel=pattern"') == 2


def test_what_would_spoil_the_garment_is_told_first(studio: TestClient, library: Path) -> None:
    """Side seams of 120 and 100 mm cannot meet without ease."""
    pouch = seed_pouch(library / "pouch")
    file = pouch / "pattern.toml"
    seam = '\n[[seam]]\nname = "side"\njoin = ["Flap.A", "Flap.B"]\n'
    file.write_text(file.read_text("utf-8") + seam, "utf-8")
    page = studio.get(HERE).text
    assert "would spoil the garment" in page
    assert page.index("would spoil the garment") < page.index('id="ask"')


def test_no_paper_is_refused_at_its_field(studio: TestClient, state: State, pouch: Path) -> None:
    answer = studio.post(f"{HERE}/give", data={**ASKED, "paper": ""})
    assert answer.status_code == 422
    assert 'data-at="paper"' in answer.text
    answer = studio.post(f"{HERE}/give", data={**ASKED, "roll": "a mile"})
    assert 'data-at="roll"' in answer.text
    assert "a mile" in answer.text
    assert state.works.of("give") == ()


def test_notes_alone_are_the_ones_that_the_command_writes(desk: Desk, tmp_path: Path) -> None:
    said = {"language": "uk", "units": "both", "paper": "a4", "kind": "md"}
    desk.studio.post(f"{HERE}/notes", data=said)
    desk.state.works.of("notes")[0].wait(60)
    answer = desk.studio.get(f"{HERE}/notes-made").text
    assert "/p/pouch/made/sheets/seed-pouch-notes-uk.md" in answer
    command = f"notes {desk.pouch} --language uk --as md --out {tmp_path}"
    assert CliRunner().invoke(main, command.split()).exit_code == 0
    name = "seed-pouch-notes-uk.md"
    assert (desk.pouch / "sheets" / name).read_bytes() == (tmp_path / name).read_bytes()


def test_other_forms_are_there_to_download(studio: TestClient, pouch: Path) -> None:
    """ezdxf, which has not written it, finds nothing wrong with the DXF file."""
    assert "seed-pouch.dxf" in studio.post(f"{HERE}/export", data={"form": "dxf"}).text
    assert not ezdxf.readfile(pouch / "sheets" / "seed-pouch.dxf").audit().errors
    assert "seed-pouch-folder.zip" in studio.post(f"{HERE}/export", data={"form": "zip"}).text
    with zipfile.ZipFile(pouch / "sheets" / "seed-pouch-folder.zip") as held:
        names = ("pattern.toml", DRAWING)
        assert sorted(held.namelist()) == sorted(f"seed-pouch/{name}" for name in names)
        for name in names:
            assert held.read(f"seed-pouch/{name}") == (pouch / name).read_bytes()
