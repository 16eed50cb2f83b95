"""``blocksheet publish``: how pages are laid, joined and chosen, and what is said about them."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest
from PIL import Image

from tests.cli.owncommand import blocksheet

TOOL = [sys.executable, "-m", "tiler", "publish"]


def run(*words: str, cwd: Path, code: int = 0) -> str:
    done = blocksheet("publish", *words, cwd=cwd)
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout + done.stderr


def test_the_report_sets_the_pages_against_the_bound_and_the_naive_layout(tmp_path: Path) -> None:
    told = run("demo:apron", "--effort", "quick", cwd=tmp_path)
    pages = int(re.search(r"and (\d+) pattern pages", told)[1])
    bound, naive = map(
        int, re.search(r"fills (\d+) pages; laid as drawn they would take (\d+)", told).groups()
    )
    assert 1 <= bound <= pages < naive
    assert re.search(r"Ink covers [0-9.]+ % of the paper", told)
    assert "Proven" in told


@pytest.mark.parametrize("joint", ["overlap", "butt", "see-through"])
def test_every_way_of_joining_is_proven_and_carried_in_the_file(tmp_path: Path, joint: str) -> None:
    told = run("demo:hat", "--effort", "quick", "--joint", joint, cwd=tmp_path)
    assert "Proven" in told
    reader = pypdf.PdfReader(tmp_path / "sheets" / "panelled-sun-hat-a4.pdf")
    assert f'"joint":"{joint}"' in reader.attachments["blocksheet.json"][0].decode()


def test_one_piece_alone_has_the_pages_that_it_has_among_all(tmp_path: Path) -> None:
    """The names of its pages are those of the whole set, whose file stays."""
    run("demo:apron", "--effort", "quick", cwd=tmp_path)
    whole = pypdf.PdfReader(tmp_path / "sheets" / "potting-apron-a4.pdf")
    told = run("demo:apron", "--effort", "quick", "--piece", "bib pocket", cwd=tmp_path)
    assert "Proven" in told
    part = pypdf.PdfReader(tmp_path / "sheets" / "potting-apron-bib-pocket-a4.pdf")
    names = [label for label in part.page_labels if re.fullmatch(r"[A-Z]+\d+", label)]
    holding = {
        label
        for label, page in zip(whole.page_labels, whole.pages, strict=True)
        if re.fullmatch(r"[A-Z]+\d+", label) and "Bib pocket" in page.extract_text()
    }
    assert names
    assert holding <= set(names) <= set(whole.page_labels)
    text = "".join(page.extract_text() for page in part.pages if page["/Contents"])
    assert "Bib pocket" in text


def test_a_joined_piece_brings_its_other_half(tmp_path: Path) -> None:
    told = run("demo:smock", "--effort", "quick", "--piece", "Back neck facing", cwd=tmp_path)
    assert "Proven" in told
    file = tmp_path / "sheets" / "gardeners-smock-back-neck-facing-a4.pdf"
    text = "".join(page.extract_text() for page in pypdf.PdfReader(file).pages)
    assert "Front neck facing" in text


def test_a_piece_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path) -> None:
    told = run("demo:hat", "--piece", "Cape", cwd=tmp_path, code=2)
    assert "no piece called 'Cape'" in told
    assert "'Brim'" in told
    assert not (tmp_path / "sheets").exists()


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_the_map_is_drawn_beside_the_file(tmp_path: Path, ending: str) -> None:
    run("demo:hat", "--effort", "quick", "--map", ending, cwd=tmp_path)
    picture = tmp_path / "sheets" / f"panelled-sun-hat-a4-map.{ending}"
    if ending == "png":
        with Image.open(picture) as image:
            assert min(image.size) > 300
    else:
        content = picture.read_bytes()
        assert content.startswith(b"%PDF" if ending == "pdf" else b"<?xml")


def test_pieces_stay_as_drawn_on_request(tmp_path: Path) -> None:
    """The placements in the record have no turn."""
    run("demo:hat", "--effort", "quick", "--no-turn", cwd=tmp_path)
    reader = pypdf.PdfReader(tmp_path / "sheets" / "panelled-sun-hat-a4.pdf")
    record = reader.attachments["blocksheet.json"][0].decode()
    matrices = re.findall(r'"matrix":\[([^]]+)\]', record)
    assert len(matrices) == 3
    for matrix in matrices:
        assert [float(part) for part in matrix.split(",")[:4]] == [1, 0, 0, 1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--gap", "200mm"), "gap"),
        (("--gap", "8"), "unit"),
        (("--effort", "huge"), "quick"),
        (("--joint", "glue"), "butt"),
        (("--map", "gif"), "svg"),
        (("--seed", "x"), "seed"),
    ],
)
def test_what_cannot_be_asked_for_is_refused(
    tmp_path: Path, words: tuple[str, str], said: str
) -> None:
    assert said in run("demo:hat", *words, cwd=tmp_path, code=2)
    assert not (tmp_path / "sheets").exists()


def searching(folder: Path) -> tuple[subprocess.Popen[str], int]:
    """A long search, just when the terminal shows that there is a layout to be bettered."""
    screen, terminal = os.openpty()
    process = subprocess.Popen(
        [*TOOL, "demo:hat", "--effort", "long"],
        stdout=subprocess.PIPE,
        stderr=terminal,
        text=True,
        cwd=folder,
        # A shell that runs the tests in the background makes all below it deaf to Ctrl-C.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    os.close(terminal)
    shown = b""
    while b"pages so far" not in shown:
        shown += os.read(screen, 4096)
    return process, screen


def test_ctrl_c_ends_the_search_and_keeps_the_best(tmp_path: Path) -> None:
    """The file is written and proven, and the report says that the search was cut short."""
    process, screen = searching(tmp_path)
    process.send_signal(signal.SIGINT)
    printed, _ = process.communicate(timeout=60)
    told = os.read(screen, 65536)
    os.close(screen)
    assert process.returncode == 0, told
    assert "Stopped early" in printed
    assert "Proven" in printed
    assert b"blocksheet:" not in told


def test_being_terminated_ends_at_once(tmp_path: Path) -> None:
    """The system does not wait for the best so far."""
    process, screen = searching(tmp_path)
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=30)
    told = os.read(screen, 65536)
    os.close(screen)
    assert process.returncode == 2
    assert b"stopped" in told
    assert list((tmp_path / "sheets").iterdir()) == []
