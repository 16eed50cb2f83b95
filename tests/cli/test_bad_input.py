"""Bad input gives one clear message that names file and place, exit code 2, nothing half-done."""

from __future__ import annotations

import gzip
import os
import re
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.owncommand import blocksheet

BAD, NOT_PROVEN = 2, 1
SQUARE = '<path class="cut" d="M10 10 H110 V130 H10 Z"/>'
HEAD = 'xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200"'
PLAIN = """title = "Bag"
[[piece]]
name = "Side"
drawing = "side.svg"
cut = { count = 2, cloth = "main", lay = "copies" }
"""


def svg(content: str, head: str = HEAD) -> str:
    return f"<svg {head}>\n{content}\n</svg>\n"


def refused(result: subprocess.CompletedProcess[str], *said: str, code: int = BAD) -> None:
    """One message of one line, in words, with all that must be in it."""
    lines = result.stderr.strip().splitlines()
    assert result.returncode == code, result.stderr
    assert "Traceback" not in result.stderr + result.stdout
    told = [line for line in lines if line.startswith("blocksheet: ")]
    assert len(told) == 1, result.stderr
    for words in said:
        assert words in told[0]


@pytest.fixture
def bag(tmp_path: Path) -> Path:
    """A pattern folder that is as it should be."""
    folder = tmp_path / "bag"
    folder.mkdir()
    (folder / "pattern.toml").write_text(PLAIN)
    (folder / "side.svg").write_text(svg(SQUARE))
    return folder


def publish(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    return blocksheet(
        "publish", folder, "--effort", "quick", "--out", folder.parent / "out", *options
    )


def test_the_folder_that_all_cases_start_from_is_good(bag: Path) -> None:
    result = publish(bag)
    assert result.returncode == 0, result.stderr
    assert [file.name for file in (bag.parent / "out").iterdir()] == ["bag-a4.pdf"]


#: name -> the drawing, and what the message must say.
DRAWINGS: dict[str, tuple[str, tuple[str, ...]]] = {
    "not XML": ("this is a letter, not a drawing", ("side.svg", "XML")),
    "empty file": ("", ("side.svg",)),
    "cut short": (svg(SQUARE)[:-12], ("side.svg", "line")),
    "not SVG": ("<html><body/></html>", ("side.svg",)),
    "no size at all": (
        svg(SQUARE, 'xmlns="http://www.w3.org/2000/svg"'),
        ("side.svg", "mm"),
    ),
    "size in the font's unit": (
        svg(SQUARE, HEAD.replace('width="200mm"', 'width="20em"')),
        ("side.svg", "em", "mm"),
    ),
    "size in an unknown unit": (
        svg(SQUARE, HEAD.replace('width="200mm"', 'width="2furlong"')),
        ("side.svg", "furlong"),
    ),
    "no size of the page": (
        svg(SQUARE, HEAD.replace('width="200mm"', 'width="0mm"')),
        ("side.svg",),
    ),
    "larger than the world": (
        svg(SQUARE, HEAD.replace('width="200mm"', 'width="1e30mm"')),
        ("side.svg",),
    ),
    "unknown role": (
        svg('<path data-role="slash" d="M10 10 H110 V130 Z"/>'),
        ("side.svg", "slash", "line 2", "stitch"),
    ),
    "open outline": (
        svg('<path class="cut" id="rim" d="M10 10 H110 V130 H20"/>'),
        ("side.svg", "rim", "open"),
    ),
    "outline that crosses itself": (
        svg('<path class="cut" d="M10 10 L110 130 L110 10 L10 130 Z"/>'),
        ("side.svg", "Side", "cross"),
    ),
    "outline of no size": (svg('<path class="cut" d="M10 10 H10 V10 Z"/>'), ("side.svg",)),
    "outline without area": (svg('<path class="cut" d="M10 10 H110 H10 Z"/>'), ("side.svg",)),
    "not a number": (
        svg('<path class="cut" d="M10 10 H NaN V130 Z"/>'),
        ("side.svg", "line 2"),
    ),
    "huge number": (
        svg('<path class="cut" d="M10 10 H 1e300 V1e300 Z"/>'),
        ("side.svg",),
    ),
    "nothing in it": (svg(""), ("side.svg",)),
    "two outlines": (svg(SQUARE + '<path class="cut" d="M120 10 h50 v50 z"/>'), ("side.svg",)),
    "entity bomb": (
        '<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
        '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>' + svg("<desc>&c;</desc>" + SQUARE),
        ("side.svg",),
    ),
    "external entity": (
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>'
        + svg(f"<desc>&x;</desc>{SQUARE}"),
        ("side.svg",),
    ),
    "outline from outside": (
        svg('<use class="cut" href="http://192.0.2.1/block.svg#front"/>'),
        ("side.svg",),
    ),
    "use of itself": (
        svg('<g id="a"><use href="#a"/></g>' + SQUARE),
        ("side.svg", "line"),
    ),
    "use bomb": (
        svg(
            '<path id="u0" class="cut" d="M0 0h1v1z"/>'
            + "".join(
                f'<g id="u{n}">' + f'<use href="#u{n - 1}"/>' * 10 + "</g>" for n in range(1, 10)
            )
        ),
        ("side.svg",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", DRAWINGS)
def test_a_drawing_that_is_no_piece_is_refused(bag: Path, case: str) -> None:
    drawing, said = DRAWINGS[case]
    (bag / "side.svg").write_text(drawing)
    began = time.monotonic()
    refused(publish(bag), *said)
    assert time.monotonic() - began < 20
    assert list((bag.parent / "out").glob("*")) == []


#: name -> the pattern file, and what the message must say.
FILES: dict[str, tuple[str, tuple[str, ...]]] = {
    "not TOML": ('title = "Bag\n', ("pattern.toml", "line 1")),
    "no title": (PLAIN.replace('title = "Bag"\n', ""), ("pattern.toml", "title")),
    "misspelt key": (PLAIN.replace("drawing", "drwaing"), ("pattern.toml", "drwaing", "drawing")),
    "length without a unit": (PLAIN + "allowance = 15\n", ("pattern.toml", "15 mm")),
    "length in a wrong unit": (PLAIN + 'allowance = "15 ells"\n', ("pattern.toml", "ells")),
    "an edge that is not there": (PLAIN + 'fold = "Q"\n', ("Side", "Q", "A")),
    "way to lie unknown": (PLAIN.replace('"copies"', '"diagonal"'), ("pattern.toml", "diagonal")),
    "nothing to cut": (PLAIN.replace("count = 2", "count = 0"), ("pattern.toml", "count")),
    "drawing outside the folder": (
        PLAIN.replace("side.svg", "../side.svg"),
        ("pattern.toml", "../side.svg"),
    ),
    "drawing that is not there": (PLAIN.replace("side.svg", "top.svg"), ("top.svg",)),
    "the same piece twice": (PLAIN + PLAIN.partition("\n")[2], ("pattern.toml", "Side")),
    "no pieces": ('title = "Bag"\n', ("pattern.toml", "piece")),
}


@pytest.mark.parametrize("case", FILES)
def test_a_pattern_file_that_does_not_hold_together_is_refused(bag: Path, case: str) -> None:
    text, said = FILES[case]
    (bag / "pattern.toml").write_text(text)
    refused(publish(bag), *said)
    assert list((bag.parent / "out").glob("*")) == []


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    refused(blocksheet("look", tmp_path / "nowhere"), "nowhere")


def test_a_folder_without_a_pattern(tmp_path: Path) -> None:
    (tmp_path / "front.svg").write_text(svg(SQUARE))
    refused(blocksheet("look", tmp_path), "pattern.toml", "front.svg")


def test_something_that_cannot_be_read(bag: Path) -> None:
    """A folder where a file should be fails to open for everybody, the superuser included."""
    (bag / "side.svg").unlink()
    (bag / "side.svg").mkdir()
    refused(publish(bag), "side.svg")


def test_bytes_that_are_no_text(bag: Path) -> None:
    (bag / "pattern.toml").write_bytes(b'title = "\xff\xfe"\n')
    refused(publish(bag), "pattern.toml")


def test_a_packed_drawing(bag: Path) -> None:
    (bag / "side.svg").write_bytes(gzip.compress(svg(SQUARE).encode()))
    refused(publish(bag), "side.svg")


def test_a_link_that_leads_outside_the_folder(bag: Path) -> None:
    (bag.parent / "secret.svg").write_text(svg(SQUARE))
    (bag / "side.svg").unlink()
    (bag / "side.svg").symlink_to(bag.parent / "secret.svg")
    refused(publish(bag), "side.svg")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--on", "a44"), ("a44", "a4")),
        (("--on", "a9"), ("A9", "A5")),
        (("--margin", "7"), ("--margin", "7", "mm")),
        (("--margin", "95mm"), ("95 mm", "--margin")),
        (("--margin", "-3mm"), ("-3 mm",)),
        (("--overlap", "1mm"), ("1 mm", "8 mm")),
        (("--overlap", "nan mm"), ("--overlap",)),
        (("--orientation", "askew"), ("askew", "portrait")),
        (("--scale", "2"), ("--scale",)),
    ],
)
def test_options_that_cannot_be(bag: Path, options: tuple[str, ...], said: tuple[str, ...]) -> None:
    refused(publish(bag, *options), *said)
    assert not (bag.parent / "out").exists() or list((bag.parent / "out").iterdir()) == []


def test_a_place_that_cannot_be_written(bag: Path) -> None:
    """A file where the folder should be; the superuser cannot write there either."""
    (bag.parent / "out").write_text("not a folder")
    result = blocksheet("publish", bag, "--out", bag.parent / "out" / "deeper")
    refused(result, "out")
    assert (bag.parent / "out").read_text() == "not a folder"


def test_a_disk_that_is_full_leaves_the_old_file(bag: Path) -> None:
    """The system's own limit on file size stops the writing half-way."""
    assert publish(bag).returncode == 0
    old = (bag.parent / "out" / "bag-a4.pdf").read_bytes()
    (bag / "side.svg").write_text(svg(SQUARE.replace("130", "150")))

    def small_disk() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (4000, 4000))

    words = ["publish", str(bag), "--effort", "quick", "--out", str(bag.parent / "out")]
    result = subprocess.run(
        [sys.executable, "-m", "tiler", *words],
        capture_output=True, text=True, timeout=60, check=False, preexec_fn=small_disk,
    )  # fmt: skip
    refused(result, "bag-a4.pdf", "untouched")
    assert (bag.parent / "out" / "bag-a4.pdf").read_bytes() == old
    assert [file.name for file in (bag.parent / "out").iterdir()] == ["bag-a4.pdf"]


def test_ctrl_c_leaves_nothing_behind(tmp_path: Path) -> None:
    """A pattern of ten large pieces takes long enough to be interrupted."""
    folder = tmp_path / "many"
    folder.mkdir()
    waves = " ".join(f"c 3 -{n % 7 + 1} 6 {n % 5 + 1} 9 0" for n in range(100))
    (folder / "wave.svg").write_text(
        svg(
            f'<path class="cut" d="M10 60 {waves} V300 H10 Z"/>',
            HEAD.replace("200mm", "950mm").replace("200 200", "950 950"),
        )
    )
    pieces = "".join(f'[[piece]]\nname = "P{n}"\ndrawing = "wave.svg"\n' for n in range(10))
    (folder / "pattern.toml").write_text(f'title = "Many"\n{pieces}')
    out = tmp_path / "out"
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "tiler",
            "publish",
            str(folder),
            "--effort",
            "quick",
            "--out",
            str(out),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # A shell that runs the tests in the background makes all below it deaf to Ctrl-C.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    deadline = time.monotonic() + 60
    # Before that the search is ended and its best is kept.
    while not list(tmp_path.glob("out/.blocksheet-*")) and time.monotonic() < deadline:
        time.sleep(0.01)
    process.send_signal(signal.SIGINT)
    printed, told = process.communicate(timeout=60)
    refused(subprocess.CompletedProcess([], process.returncode, printed, told), "stopped")
    assert list(out.iterdir()) == []


def test_a_picture_of_an_unknown_kind(bag: Path) -> None:
    refused(blocksheet("look", bag, "--picture", bag / "bag.jpg2"), "bag.jpg2", ".png")


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7\nnot really", b"\x89PNG\r\n", os.urandom(999)])
def test_what_is_no_publication_is_not_proven_and_not_measured(
    tmp_path: Path, content: bytes
) -> None:
    (tmp_path / "odd.pdf").write_bytes(content)
    result = blocksheet("prove", tmp_path / "odd.pdf")
    assert result.returncode in (BAD, NOT_PROVEN)
    refused(result, "odd.pdf", code=result.returncode)


def test_a_file_to_prove_that_is_not_there(tmp_path: Path) -> None:
    refused(blocksheet("prove", tmp_path / "gone.pdf"), "gone.pdf")


def test_a_failed_proof_has_exit_code_1_and_names_page_and_piece(bag: Path) -> None:
    assert publish(bag).returncode == 0
    (bag / "side.svg").write_text(svg(SQUARE.replace("H110", "H110.3")))
    result = blocksheet("prove", bag.parent / "out" / "bag-a4.pdf", "--against", bag)
    assert result.returncode == NOT_PROVEN
    assert re.search(r"A1: .*Side.* 0\.300 mm", result.stdout), result.stdout
    assert "Traceback" not in result.stderr


def test_what_is_left_out_is_said(bag: Path) -> None:
    extra = '<text x="20" y="20">Side</text><image href="http://192.0.2.1/x.png" width="9"/>'
    (bag / "side.svg").write_text(svg(SQUARE + extra))
    result = publish(bag)
    assert result.returncode == 0
    assert "text" in result.stderr
    assert "image" in result.stderr
