"""Whatever becomes of its output, the command ends in order."""

from __future__ import annotations

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

TOOL = f"{sys.executable} -m tiler"
SQUARE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" viewBox="0 0 90 90">'
    '<path class="stitch" d="M5 5h60v60h-60z"/><path class="grain" d="M35 60V10"/></svg>'
)
SEED_BAG = """
title = "Seed bag"
traced = "stitch"
allowance = "10 mm"
[cloth]
main = "Canvas"
[[piece]]
name = "Side"
drawing = "s.svg"
cut = { count = 2, cloth = "main", lay = "copies" }
"""


@pytest.fixture(autouse=True)
def bag(tmp_path: Path) -> None:
    """A folder of one small piece, which is soon published and leaves nothing to say."""
    (tmp_path / "bag").mkdir()
    (tmp_path / "bag" / "s.svg").write_text(SQUARE)
    (tmp_path / "bag" / "pattern.toml").write_text(SEED_BAG)


def shell(line: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["bash", "-c", line], capture_output=True, text=True, timeout=60, check=False, cwd=cwd
    )


@pytest.mark.parametrize(
    "words",
    ["look demo:smock", "publish bag --effort quick --out sheets", "--help", "publish --help"],
)
def test_a_closed_pipe_is_no_error(tmp_path: Path, words: str) -> None:
    """Whoever reads has had enough: the exit code is that of the work."""
    done = shell(f"{TOOL} {words} | true; exit ${{PIPESTATUS[0]}}", tmp_path)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_failed_proof_stays_one_when_nobody_reads_it(tmp_path: Path) -> None:
    assert shell(f"{TOOL} publish bag --effort quick --out sheets", tmp_path).returncode == 0
    line = f"{TOOL} prove sheets/seed-bag-a4.pdf --against demo:hat | true"
    done = shell(f"{line}; exit ${{PIPESTATUS[0]}}", tmp_path)
    assert done.returncode in (1, 2)
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "words", ["look demo:hat", "publish bag --effort quick --out sheets", "--help"]
)
def test_a_full_disk_behind_the_output_is_told(tmp_path: Path, words: str) -> None:
    """/dev/full takes nothing, like a disk without room."""
    done = shell(f"{TOOL} {words} > /dev/full", tmp_path)
    assert done.returncode == 2
    assert done.stderr.startswith("blocksheet: ")
    assert "Traceback" not in done.stderr


def test_no_standard_error_is_no_trouble(tmp_path: Path) -> None:
    done = shell(f"{TOOL} publish bag --effort quick --out sheets 2>&-", tmp_path)
    assert done.returncode == 0
    assert "Proven" in done.stdout


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_being_stopped_leaves_no_litter(tmp_path: Path, number: signal.Signals) -> None:
    out = tmp_path / "sheets"
    process = subprocess.Popen(
        [
            *TOOL.split(),
            "publish",
            "demo:hat",
            "--effort",
            "quick",
            "--on",
            "a5",
            "--on",
            "b5",
            "--out",
            str(out),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    deadline = time.monotonic() + 30
    while not list(tmp_path.glob("sheets/.blocksheet-*")) and time.monotonic() < deadline:
        time.sleep(0.005)
    process.send_signal(number)
    _, told = process.communicate(timeout=60)
    assert process.returncode == 2
    assert "stopped" in told
    assert [file.name for file in out.iterdir() if not file.name.endswith(".pdf")] == []


def test_a_picture_never_replaces_a_drawing_of_the_pattern(tmp_path: Path) -> None:
    """Neither a drawing on its own nor one of a folder."""
    square = '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" '
    square += 'viewBox="0 0 90 90"><path class="cut" d="M5 5h60v60h-60z"/></svg>'
    (tmp_path / "bag.svg").write_text(square)
    (tmp_path / "pattern.toml").write_text('title = "B"\n[[piece]]\nname="S"\ndrawing="bag.svg"\n')
    for source in ("bag.svg", ".", "pattern.toml"):
        done = shell(f"{TOOL} look {source} --picture ./bag.svg", tmp_path)
        assert done.returncode == 2
        assert "bag.svg" in done.stderr
    assert (tmp_path / "bag.svg").read_text() == square


def test_another_pattern_of_the_same_file_name_stays(tmp_path: Path) -> None:
    """Two titles may make one file name; neither pattern is lost without a word."""
    square = '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="90mm" '
    square += 'viewBox="0 0 90 90"><path class="cut" d="M5 5h60v60h-60z"/></svg>'
    for folder, title in (("one", "Bag, left"), ("two", "Bag (left)")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "s.svg").write_text(square)
        (tmp_path / folder / "pattern.toml").write_text(
            f'title = "{title}"\n[[piece]]\nname = "S"\ndrawing = "s.svg"\n'
        )
    assert shell(f"{TOOL} publish one --out out", tmp_path).returncode == 0
    assert shell(f"{TOOL} publish one --out out", tmp_path).returncode == 0
    before = (tmp_path / "out" / "bag-left-a4.pdf").read_bytes()
    done = shell(f"{TOOL} publish two --out out", tmp_path)
    assert done.returncode == 2
    assert "Bag, left" in done.stderr
    assert (tmp_path / "out" / "bag-left-a4.pdf").read_bytes() == before


def test_nothing_is_written_when_one_paper_cannot_be_used(tmp_path: Path) -> None:
    done = shell(f"{TOOL} publish demo:hat --effort quick --on a4 --on a9 --out out", tmp_path)
    assert done.returncode == 2
    assert list(tmp_path.glob("out/*")) == []


def test_a_system_that_takes_ascii_names_only_is_told(tmp_path: Path) -> None:
    """A piece of 'Gärtner' needs a name that such a system cannot write."""
    folder = tmp_path / "pattern"
    folder.mkdir()
    (folder / "pattern.toml").write_text(
        'title = "Gärtner"\nallowance = "10 mm"\n[[piece]]\nname = "A"\ndrawing = "a.svg"\n',
        encoding="utf-8",
    )
    (folder / "a.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="99mm" height="99mm" viewBox="0 0 99 99">'
        '<path class="cut" d="M5 5H90V80H5Z"/></svg>'
    )
    plain = "LC_ALL=C PYTHONUTF8=0 PYTHONCOERCECLOCALE=0"
    done = shell(f"{plain} {TOOL} publish pattern --effort quick --out sheets", tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "UTF-8" in done.stderr.splitlines()[-1]
    assert not list(tmp_path.glob("sheets/*"))
