"""``blocksheet notes``."""

from __future__ import annotations

from pathlib import Path

from tests.cli.owncommand import command


def test_the_notes_are_written_in_three_forms(tmp_path: Path) -> None:
    said = command("notes", tmp_path)("demo:hat", "--language", "uk")
    files = {file.name for file in (tmp_path / "sheets").iterdir()}
    assert files == {
        *(f"panelled-sun-hat-notes-uk.{kind}" for kind in ("pdf", "html", "md")),
        "panelled-sun-hat-notes-pictures",
    }
    assert "Next: blocksheet publish demo:hat --on a4" in said


def test_only_what_is_asked_for_is_written(tmp_path: Path) -> None:
    command("notes", tmp_path)("demo:hat", "--as", "html", "--units", "mm", "--out", "here")
    (file,) = (tmp_path / "here").iterdir()
    assert file.suffix == ".html"
    text = file.read_text("utf-8")
    # 90 mm is 3 1/2 in.
    assert "90\u00a0mm" in text
    assert "1/2\u00a0in" not in text


def test_published_sheets_are_proven_and_told(tmp_path: Path) -> None:
    command("publish", tmp_path)("demo:hat", "--on", "a4", "--effort", "quick")
    file = "sheets/panelled-sun-hat-a4.pdf"
    said = command("notes", tmp_path)("demo:hat", "--sheets", file, "--as", "md")
    assert "Next: read sheets/panelled-sun-hat-notes-en.md before you print the sheets." in said
    text = (tmp_path / "sheets" / "panelled-sun-hat-notes-en.md").read_text("utf-8")
    assert "## Taping the pages" in text
    assert "panelled-sun-hat-a4.pdf" in text


def test_what_cannot_be_is_said_in_one_message(tmp_path: Path) -> None:
    notes = command("notes", tmp_path)
    assert "Use one of de, en, uk" in notes("demo:hat", "--language", "xx", code=2)
    assert "blocksheet:" in notes("demo:hat", "--sheets", "nowhere.pdf", code=2)
    (tmp_path / "no.pdf").write_bytes(b"no pdf")
    assert "no.pdf" in notes("demo:hat", "--sheets", "no.pdf", code=2)
    assert not (tmp_path / "sheets").exists()
