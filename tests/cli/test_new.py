"""``blocksheet new``: asks what no drawing can say, overwrites nothing."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from tests.cli.owncommand import Command, command
from tests.cli.terminal import at_terminal
from tests.demos import DEMO_PIECES
from tiler.cli.main import main
from tiler.intake.folder import read_pattern
from tiler.pattern.errors import BlocksheetError
from tiler.pattern.model import Cut, Lay, Lies, Role

FRONT = DEMO_PIECES / "smock" / "front.svg"
BACK = DEMO_PIECES / "smock" / "back.svg"


@pytest.fixture
def new(tmp_path: Path) -> Command:
    return command("new", tmp_path)


@pytest.fixture
def unsaid(tmp_path: Path) -> Path:
    """A drawing that does not say which line its outline is, nor where the fold lies."""
    drawing = FRONT.read_text().replace('class="stitch" ', "")
    file = tmp_path / "side panel.svg"
    file.write_text(re.sub(r"<line class=\"fold\".*\n", "", drawing))
    return file


def test_without_a_terminal_nothing_is_asked_and_the_folder_reads_at_once(
    new: Command, tmp_path: Path, unsaid: Path
) -> None:
    told = new("smock", "--from", str(FRONT), "--from", str(unsaid))
    assert (
        "Not said yet: which line was traced (Side panel), the seam allowance, the cloth, how "
        "many to cut (Front, Side panel)." in told
    )
    assert "Next: blocksheet look smock --picture smock/pieces.png" in told
    looked = command("look", tmp_path)("smock", "--picture", "smock/pieces.png")
    assert "Front 316 mm × 830 mm" in looked
    assert (tmp_path / "smock" / "pieces.png").is_file()
    checked = command("check", tmp_path)("smock", code=1)
    assert "It is not said how many to cut." in checked
    assert "no seam allowance is drawn" in checked


def test_options_answer_every_question(new: Command, tmp_path: Path, unsaid: Path) -> None:
    told = new(
        "smock",
        *("--from", str(unsaid), "--from", str(FRONT), "--title", "Pea picker's smock"),
        *("--maker", "Marrow Lane", "--allowance", "5/8 in", "--traced", "stitch"),
        *("--cloth", "Twill", "--cut", "2 pair", "--cut", "front=1 fold"),
    )
    assert "Not said yet" not in told
    pattern = read_pattern(tmp_path / "smock")
    panel, front = pattern.pieces
    assert (pattern.title, pattern.maker) == ("Pea picker's smock", "Marrow Lane")
    assert pattern.cloths == (("main", "Twill"),)
    assert panel.cuts == (Cut(2, "main", Lay.PAIR),)
    assert front.cuts == (Cut(1, "main", Lay.FOLD),)
    assert front.allowance == 15.875  # 5/8 of 25.4 mm


def test_at_a_terminal_it_asks_only_what_no_drawing_says(tmp_path: Path, unsaid: Path) -> None:
    code, screen = at_terminal(
        ("new", "smock", "--from", FRONT, "--from", unsaid, "--cut", "Front=1 fold"),
        tmp_path,
        [
            ("Title [Smock]", "\n"),
            ("Side panel: traced along the stitch line or the cut line", "stich\n"),
            ('"stich" is neither. Say stitch or cut.', "stitch\n"),
            ("Seam allowance", "15\n"),
            ("has no unit", "15 mm\n"),
            ("Main cloth", "\n"),
            ("Straight edges that could lie on the fold: A (685 mm, left)", "1 fold\n"),
            ("Name the edge, as in 1 fold A.", "1 fold z\n"),
            ('there is no edge "Z"', "1 fold a\n"),
        ],
    )
    assert code == 0
    assert "Not said yet: the cloth." in screen
    assert "Front (Enter: later)" not in screen
    front, panel = read_pattern(tmp_path / "smock").pieces
    assert panel.outlines[0].edges[0].lies is Lies.FOLD
    assert panel.cuts == front.cuts == (Cut(1, "main", Lay.FOLD),)
    assert panel.allowance == front.allowance == 15
    assert panel.outlines[0].role is Role.STITCH


def test_enter_leaves_every_question_for_later(tmp_path: Path) -> None:
    code, screen = at_terminal(
        ("new", "smock", "--from", FRONT),
        tmp_path,
        [("Title", "\n"), ("allowance", "\n"), ("cloth", "\n"), ("Front (Enter: later)", "\n")],
    )
    assert code == 0
    assert "Not said yet: the seam allowance, the cloth, how many to cut (Front)." in screen
    asked_nothing = command("new", tmp_path)("again", "--from", str(FRONT), "--title", "Smock")
    assert "Not said yet" in asked_nothing
    written = [(tmp_path / folder / "pattern.toml").read_text() for folder in ("smock", "again")]
    assert written[0] == written[1]


def test_a_terminal_can_be_told_to_ask_nothing(tmp_path: Path) -> None:
    code, screen = at_terminal(("new", "smock", "--from", FRONT, "--ask-nothing"), tmp_path, [])
    assert code == 0
    assert "Title" not in screen


@pytest.mark.parametrize("question", ["Title", "Seam allowance"])
def test_ctrl_c_at_a_question_leaves_nothing(tmp_path: Path, question: str) -> None:
    answers = [("Title", "\n")] if question != "Title" else []
    code, screen = at_terminal(
        ("new", "patterns/smock", "--from", FRONT), tmp_path, [*answers, (question, "\x03")]
    )
    assert code == 2
    assert "stopped before anything was written" in screen
    assert not list(tmp_path.iterdir())


def test_nothing_that_is_there_is_written_over(new: Command, tmp_path: Path) -> None:
    folder = tmp_path / "smock"
    folder.mkdir()
    (folder / "notes.txt").write_text("mine")
    assert "the folder is not empty" in new("smock", "--from", str(FRONT), code=2)
    assert [file.name for file in folder.iterdir()] == ["notes.txt"]
    (tmp_path / "file").write_text("mine")
    assert "no folder" in new("file", "--from", str(FRONT), code=2)
    assert (tmp_path / "file").read_text() == "mine"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--from", "none.svg"), "there is no such file or folder"),
        (("--from", str(FRONT.parent)), "this is a pattern folder already"),
        (
            ("--from", str(FRONT.with_name("pattern.toml"))),
            "no .svg drawing, .csv table of points or .dxf file",
        ),
        (("--from", str(FRONT), "--cut", "1 fold Q"), 'there is no edge "Q"'),
        (("--from", str(FRONT), "--cut", "1 fold B"), "the drawing has it on A"),
        (("--from", str(BACK), "--cut", "1 fold"), "Name the edge, as in 1 fold A."),
        (("--from", str(FRONT), "--cut", "2 pair A"), "only a piece on the fold names an edge"),
        (("--from", str(FRONT), "--cut", "0 pair"), "does not say how many to cut"),
        (("--from", str(FRONT), "--cut", "Frnt=2 pair"), 'there is no piece "Frnt". Did you mean'),
        (("--from", str(FRONT), "--allowance", "-1 mm"), "less than nothing"),
        (("--from", str(BACK), "--cut", "3 pair"), "3 cannot be cut as mirrored pairs"),
        (("--from", str(FRONT), "--title", "x" * 200), "--title: it has 200 characters"),
        (("--from", str(FRONT), "--title", "Smock\x07"), "--title: it has a control character"),
        (("--from", str(FRONT), "--maker", "x" * 121), "--maker: it has 121 characters"),
        (("--from", str(FRONT), "--cloth", "x" * 4001), "--cloth: it has 4001 characters"),
        ((), "Missing parameter: sources"),
    ],
)
def test_bad_input_gives_one_message_and_leaves_nothing(
    tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    with pytest.raises((BlocksheetError, click.UsageError)) as refused:
        main.main(["new", str(tmp_path / "smock"), *words], standalone_mode=False)
    assert told in str(refused.value)
    assert not list(tmp_path.iterdir())


def test_a_drawing_that_says_otherwise_holds(new: Command, tmp_path: Path) -> None:
    told = new("smock", "--from", str(FRONT), "--traced", "cut")
    assert "The drawing itself says that its outline is the stitch line, and that holds." in told
    assert read_pattern(tmp_path / "smock").pieces[0].outlines[0].role is Role.STITCH
