"""A new pattern from files: what is asked, what is written, and what is refused without a trace."""

from __future__ import annotations

import html
import io
import re
import shutil
import subprocess
import sys
import time
import zipfile
from collections.abc import Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from httpx2 import Response
from starlette.testclient import TestClient

from tests.web.conftest import DEMOS
from tiler import job
from tiler.cli.starting import new_command
from tiler.intake.photo import needs
from tiler.intake.svg import limits
from tiler.job.interview import MOST_PIECES, Said, begun, interview
from tiler.job.targets import write_targets
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.web.begin import pages, questions
from tiler.web.begin.reading import interviewed
from tiler.web.incoming import Incoming
from tiler.web.state import State

SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    "{}</svg>"
)
FLAP = SVG.format('<path d="M10 10 H110 V130 H10 Z"/>').encode()
#: Seconds within which a file made to do harm is refused, on a machine that is busy.
PATIENCE = 60.0


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def give(studio: TestClient, *files: tuple[str, bytes]) -> Response:
    return studio.post("/begin", files=[("files", file) for file in files])


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a process of its own for each file, which takes a while to start."""

    def here(function: str, facts: Mapping[str, Any], **bounds: float) -> Any:
        module, _, name = function.partition(":")
        return getattr(import_module(module), name)(lambda *_: None, **facts)

    monkeypatch.setattr(pages, "apart", here)
    monkeypatch.setattr(questions, "apart", here)


def words(page: str) -> str:
    return " ".join(html.unescape(re.sub("<[^>]+>", " ", page)).split())


def left(library: Path) -> set[str]:
    """All that lies in the library, but for the lock of the run."""
    return {
        path.relative_to(library).as_posix()
        for path in library.rglob("*")
        if path.name != "in-use" and not path.name.startswith(".studio-incoming-")
    }


def refused(studio: TestClient, library: Path, *files: tuple[str, bytes]) -> str:
    """What is said when files are refused, in place, in time, with nothing left behind."""
    begun = time.monotonic()
    answer = give(studio, *files)
    assert time.monotonic() - begun < PATIENCE
    assert answer.status_code == 422
    assert 'id="trouble"' in answer.text
    assert 'data-at="files"' in answer.text
    assert str(library) not in answer.text
    assert left(library) == set()
    return words(answer.text)


def test_drawings_become_the_folder_that_the_command_makes(
    studio: TestClient, library: Path, tmp_path: Path
) -> None:
    names = ("back.svg", "front.svg")
    drawings = [(name, (DEMOS / "smock" / name).read_bytes()) for name in names]
    answer = give(studio, *drawings)
    assert answer.status_code == 204, answer.text
    address = answer.headers["x-studio-go"]
    page = studio.get(address).text
    told = words(page)
    assert "2 pieces were found." in told
    assert "traced on the stitch line" in told
    assert "The drawing has A on the fold." in told
    # The back piece has its letters in the picture, and its likeliest fold first in the list.
    assert page.count('data-layer="letter"') >= 10
    assert re.search(r"<option value=\"A\">A · \d+ mm · left", page)
    answer = studio.post(
        address,
        data={
            "title": "Gärtnerkittel",
            "maker": "Marrow Lane",
            "allowance": "5/8 in",
            "cloth": "firm cotton twill",
            "lay-0": "fold",
            "count-0": "1",
            "edge-0": "A",
            "lay-1": "",
            "count-1": "1",
        },
    )
    assert answer.headers["x-studio-go"] == "/p/g%C3%A4rtnerkittel/table", answer.text
    by_command = tmp_path / "command"
    sources = [f"--from={DEMOS / 'smock' / name}" for name in names]
    said = [
        "--title=Gärtnerkittel",
        "--maker=Marrow Lane",
        "--allowance=5/8in",
        "--cloth=firm cotton twill",
        "--cut=Back=1 fold A",
    ]
    done = CliRunner().invoke(new_command, [str(by_command), *sources, *said])
    assert done.exit_code == 0, done.output
    assert contents(library / "gärtnerkittel") == contents(by_command)
    # What was on its way is gone.
    assert left(library) == {f"gärtnerkittel{name}" for name in ("", "/pattern.toml")} | {
        f"gärtnerkittel/{name}" for name in names
    }
    assert "no longer at hand" in studio.get(address).text


@pytest.mark.usefixtures("at_once")
def test_answers_that_do_not_hold_are_refused_beside_their_questions(
    studio: TestClient, library: Path
) -> None:
    address = give(studio, ("flap.svg", FLAP)).headers["x-studio-go"]
    page = studio.get(address).text
    assert "Which line did you trace?" in page
    assert 'value="Flap"' in page
    for field, answers in {
        "title": {"title": ""},
        "allowance": {"title": "Flap", "allowance": "wide"},
        "piece-0": {"title": "Flap", "lay-0": "pair", "count-0": "3"},
    }.items():
        answer = studio.post(address, data=answers)
        assert answer.status_code == 422
        assert f'data-at="{field}"' in answer.text
    assert {name for name in left(library) if "flap.svg" not in name and "/" not in name} == set()
    answer = studio.post(address, data={"title": "Flap"})
    assert answer.headers["x-studio-go"] == "/p/flap/table"
    assert "# " in (library / "flap" / "pattern.toml").read_text()


def test_a_folder_that_is_there_stays_and_the_new_one_gets_a_number(
    studio: TestClient, library: Path, hat: Path
) -> None:
    before = contents(hat)
    for number in (2, 3):
        answer = studio.post("/begin/demo", data={"name": "hat"})
        assert answer.status_code == 204, answer.text
        del number
    assert contents(hat) == before
    assert contents(library / "panelled-sun-hat") == contents(DEMOS / "hat")
    assert contents(library / "panelled-sun-hat-2") == contents(DEMOS / "hat")
    assert studio.post("/begin/demo", data={"name": "../hat"}).status_code == 422


def test_a_friends_file_comes_out_as_it_went_in(
    studio: TestClient, library: Path, tmp_path: Path
) -> None:
    pouch = tmp_path / "pouch"
    pouch.mkdir()
    (pouch / "pattern.toml").write_text(
        "title = 'Seed pouch'\n\n[[piece]]\nname = 'Flap'\ndrawing = 'flap.svg'\n# the end"
    )
    (pouch / "flap.svg").write_bytes(SVG.format('<path class="cut" d="M9 9H99V99H9Z"/>').encode())
    packing = job.Packing("quick")
    sheets = job.publish(job.read(pouch), [job.Surface("a4")], tmp_path / "out", packing=packing)
    content = sheets[0].file.read_bytes()
    answer = give(studio, ("from a friend.pdf", content))
    assert answer.headers["x-studio-go"] == "/p/seed-pouch/table", answer.text
    assert contents(library / "seed-pouch") == contents(pouch)
    shutil.rmtree(library / "seed-pouch")
    assert left(library) == set()
    # One byte less, and nothing is taken from it.
    refused(studio, library, ("torn.pdf", content[: len(content) // 2]))


def bomb(entities: int = 12) -> bytes:
    """An XML document that grows tenfold with each entity."""
    lines = "".join(
        f'<!ENTITY e{n} "{f"&e{n - 1};" * 10 if n else "M0 0L9 9"}">' for n in range(entities)
    )
    return f"<!DOCTYPE svg [{lines}]><svg><path d='&e{entities - 1};'/></svg>".encode()


HARM = {
    "entities": bomb(),
    "nesting": SVG.format("<g>" * 3_000).encode(),
    "uses": SVG.format(
        '<g id="a0"><path d="M0 0H9V9H0Z"/></g>'
        + "".join(f'<g id="a{n}">' + f'<use href="#a{n - 1}"/>' * 10 + "</g>" for n in range(1, 10))
    ).encode(),
    "nodes": SVG.format("<path d='M0 0H9'/>" * 2_100).encode(),
    "path": SVG.format(f'<path d="M0 0{" L1 1 2 2" * 2_600}"/>').encode(),
    "no-text": b"\x00\x01\x02" * 1000,
    "cut off": FLAP[:60],
    "no piece": SVG.format("").encode(),
}


@pytest.mark.parametrize("harm", HARM)
def test_a_drawing_made_to_do_harm_is_refused_by_what_reads_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harm: str
) -> None:
    """Bounds on what a drawing may hold, a hundredth of what they are: it is much the same."""
    monkeypatch.setattr(limits, "ELEMENTS", limits.ELEMENTS // 100)
    monkeypatch.setattr(limits, "SEGMENTS", limits.SEGMENTS // 100)
    drawing = tmp_path / "front.svg"
    drawing.write_bytes(HARM[harm])
    with pytest.raises(BlocksheetError, match=r"front\.svg"):
        interviewed(lambda *_: None, (drawing,), None)


def test_a_drawing_made_to_do_harm_is_refused_in_place(studio: TestClient, library: Path) -> None:
    assert "front.svg" in refused(studio, library, ("front.svg", HARM["entities"]))


def test_a_drawing_that_takes_for_ever_is_given_up(
    studio: TestClient, library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "SECONDS", 0.02)
    assert "takes too long" in refused(studio, library, ("front.svg", FLAP)).lower()


def test_a_drawing_that_takes_all_memory_is_given_up(
    studio: TestClient, library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "MEMORY", 2**27)
    assert "memory" in refused(studio, library, ("front.svg", HARM["path"]))


def zipped(**files: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return made.getvalue()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("bundle.zip", zipped(**{"../../evil.svg": FLAP, "a": bytes(40_000_000)})),
        ("sheets.pdf", b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 1 0 R/Kids[1 0 R]>>endobj\n%%EOF"),
    ],
)
def test_a_published_file_made_to_do_harm_is_refused(
    studio: TestClient, library: Path, name: str, content: bytes
) -> None:
    refused(studio, library, (name, content))


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("../../x.svg", "leads to another folder"),
        ("..\\x.svg", "leads to another folder"),
        ("/etc/x.svg", "leads to another folder"),
        ("CON.svg", "device"),
        ("x" * 300 + ".svg", "too long"),
        (".svg", "no drawing"),
        (".hidden.svg", "begins with a dot"),
        ("front.exe", "is no drawing"),
        ("front", "is no drawing"),
    ],
)
def test_names_that_are_none_are_refused(
    studio: TestClient, library: Path, name: str, told: str
) -> None:
    assert told in refused(studio, library, (name, FLAP))


@pytest.mark.usefixtures("at_once")
def test_names_lose_what_no_system_takes(studio: TestClient, library: Path) -> None:
    address = give(studio, ('Fro\u202ent: "v2"?.SVG', FLAP)).headers["x-studio-go"]
    assert 'value="Fro nt v2"' in studio.get(address).text


PNG = b"\x89PNG\r\n\x1a\n" + bytes(100)


@pytest.mark.parametrize(
    ("files", "told"),
    [
        ([("a.svg", PNG)], "a PNG picture"),
        ([("a.svg", b"\x1f\x8b\x08" + bytes(99))], "a packed file"),
        ([("a.svg", b"")], "empty"),
        ([("a.svg", FLAP), ("A.svg", FLAP)], "are one name on some systems"),
        ([("a.svg", FLAP), ("a.svg", FLAP)], "Two files are called"),
        ([("a.svg", FLAP), ("a.jpg", PNG)], "given together"),
        ([("a.pdf", PNG), ("b.pdf", PNG)], "one published file"),
        ([(f"{n}.svg", FLAP) for n in range(41)], "40 or fewer"),
        ([("a.csv", bytes(33 * 2**20))], "33 MiB"),
        ([], "No file was chosen"),
    ],
)
def test_files_that_are_not_what_can_be_given_are_refused(
    studio: TestClient, library: Path, files: list[tuple[str, bytes]], told: str
) -> None:
    if files:
        assert told in refused(studio, library, *files)
    else:
        answer = studio.post("/begin", data={"x": "y"})
        assert answer.status_code == 422
        assert told in answer.text


def test_more_than_any_page_takes_is_refused(studio: TestClient, library: Path) -> None:
    answer = give(studio, *[(f"{n}.svg", FLAP) for n in range(61)])
    assert answer.status_code == 413
    assert "fewer" in words(answer.text)
    assert left(library) == set()


@pytest.mark.usefixtures("at_once")
def test_the_cards_are_those_that_the_command_writes(
    studio: TestClient, library: Path, tmp_path: Path
) -> None:
    assert 'href="/begin/cards/letter.pdf"' in studio.get("/begin").text
    made = studio.get("/begin/cards/letter.pdf")
    assert made.headers["content-type"] == "application/pdf"
    assert made.content == write_targets("letter", tmp_path / "cards.pdf").read_bytes()
    assert left(library) == set()
    assert studio.get("/begin/cards/..pdf").status_code in (404, 422)


def test_photos_that_cannot_be_used_say_why(studio: TestClient, library: Path) -> None:
    from PIL import Image

    small = io.BytesIO()
    Image.new("RGB", (20, 20)).save(small, "JPEG")
    address = give(studio, ("table.jpg", small.getvalue())).headers["x-studio-go"]
    page = words(studio.get(address).text)
    assert "How large were the cards printed?" in page
    for field, answers in {
        "title": {"across": "180", "up": "240"},
        "across": {"title": "Smock", "across": "", "up": "240"},
        "up": {"title": "Smock", "across": "180", "up": "tall"},
        "pieces": {"title": "Smock", "across": "180", "up": "240", "pieces": "Front"},
    }.items():
        answer = studio.post(f"{address}/read", data=answers)
        assert answer.status_code == 422
        assert f'data-at="{field}"' in answer.text
    bars = re.search(r"they measure ([\d.]+) mm across and ([\d.]+) mm up", page)
    assert bars
    answers = {"title": "Smock", "across": bars[1], "up": bars[2], "ruler": "0.5 mm"}
    answer = studio.post(f"{address}/read", data=answers)
    work = re.search(r"/work/([0-9a-f]+)\?done=", answer.text)
    assert work, answer.text
    state: State = studio.app.app.state.studio  # type: ignore[attr-defined]
    state.works.get(work[1]).wait(PATIENCE)
    told = words(studio.get(f"/work/{work[1]}?done={address}/done").text)
    assert "20 x 20 pixels only" in told
    assert studio.post(f"{address}/leave").headers["x-studio-go"] == "/begin"
    assert left(library) == set()


def test_without_the_libraries_for_photos_it_is_said_what_to_install(
    studio: TestClient, library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr(needs, "import_module", missing)
    monkeypatch.setattr(needs, "find_spec", lambda name: None)
    assert 'pip install "blocksheet[photo]"' in words(studio.get("/begin").text)
    assert 'pip install "blocksheet[photo]"' in refused(studio, library, ("a.jpg", PNG))


def test_more_pieces_than_anybody_would_answer_for_are_refused(tmp_path: Path) -> None:
    layers = "".join(
        f'<g id="p{n}" inkscape:groupmode="layer" inkscape:label="P{n}" '
        f'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape">'
        f'<path d="M{n} 0h1v1h-1z"/></g>'
        for n in range(MOST_PIECES + 1)
    )
    drawing = tmp_path / "pieces.svg"
    drawing.write_text(SVG.format(layers))
    with pytest.raises(FileError, match="too many for one pattern"):
        interview((drawing,))


def test_what_photos_became_is_asked_about_and_keeps_its_pictures(tmp_path: Path) -> None:
    captured = Path(shutil.copytree(DEMOS / "hat", tmp_path / "captured"))
    (captured / "capture.jpg").write_bytes(b"picture")
    found = interview((), captured)
    assert [piece.name for piece in found.pieces] == ["Crown panel", "Brim", "Inner band"]
    begun((), tmp_path / "hat", Said("Hat"), captured)
    assert (tmp_path / "hat" / "capture.jpg").read_bytes() == b"picture"


def test_what_a_run_has_left_is_swept_by_the_next_and_that_of_another_run_stays(
    tmp_path: Path,
) -> None:
    code = (
        "import os, sys; from pathlib import Path; from tiler.web.incoming import Incoming; "
        "i = Incoming(Path(sys.argv[1])); a = i.arrive('drawings'); "
        "(a.folder / 'x.svg').write_text('x'); os._exit(9)"
    )
    subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=False)
    assert len(list(tmp_path.glob(".studio-incoming-*/*/x.svg"))) == 1
    running = Incoming(tmp_path)
    assert list(tmp_path.iterdir()) == []
    arrival = running.arrive("drawings")
    Incoming(tmp_path)
    assert arrival.folder.is_dir()
    del running
    assert list(tmp_path.iterdir()) == []


def test_the_page_has_one_next_step_and_a_labelled_field(studio: TestClient) -> None:
    page = studio.get("/begin").text
    assert page.count('class="next"') == 1
    assert '<label for="files"' in page
    assert 'type="file"' in page
