"""The plain texts: every editor shows them, and every language says the same."""

from __future__ import annotations

import string
import subprocess
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.output.bundle.firstread import BundleFacts, SheetFacts, first_read
from tiler.output.bundle.sums import sums_of
from tiler.output.bundle.texts import language_of, languages, licence_text, plain_text
from tiler.pattern.errors import PatternError
from tiler.pattern.handover import Handover
from tiler.pattern.model import Pattern
from tiler.sheets.words import shipped

PATTERN = Pattern("Seed pouch", (), maker="Marrow Lane", version="3", about="For seeds.")
SHEETS = (
    SheetFacts("sheets/seed-pouch-a4.pdf", "A4", 2, 4, 0.0001),
    SheetFacts("sheets/seed-pouch-roll-914mm.pdf", "914 mm", 0, 1, 0.02, roll=True),
)
FACTS = BundleFacts(SHEETS, "notes/notes.pdf", ("lay-plans/main.pdf",), "SHA256SUMS", "pattern")


def words_of(language: str) -> dict[str, str]:
    file = shipped("templates") / language / "bundle.toml"
    return tomllib.loads(file.read_text("utf-8"))


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_language_has_the_same_words_with_the_same_blanks() -> None:
    assert {"en", "de", "uk"} <= set(languages())
    english = words_of("en")
    for language in languages():
        words = words_of(language)
        assert list(words) == list(english)
        for key, text in words.items():
            assert blanks(text) == blanks(english[key]), (language, key)


@pytest.mark.parametrize("language", ["en", "de", "uk"])
@pytest.mark.parametrize("kept", [False, True])
def test_the_first_page_names_everything_and_fits_any_window(language: str, kept: bool) -> None:
    content = first_read(PATTERN, replace(FACTS, pattern="" if kept else "pattern"), language)
    text = content.decode("utf-8-sig")
    for name in (*(sheet.file for sheet in SHEETS), FACTS.notes, *FACTS.lays, "LICENCE.txt"):
        assert name in text
    assert "Marrow Lane" in text
    assert ("blocksheet publish pattern" in text) is not kept
    assert "{" not in text
    lines = text.split("\r\n")
    assert "\n" not in "".join(lines)
    assert "\r" not in "".join(lines)
    assert max(map(len, lines)) <= 76
    # The larger of the two deviations, in the way of writing numbers of the language.
    assert ("0.020" if language == "en" else "0,020") in text


@pytest.mark.parametrize("language", ["en", "de", "uk"])
def test_only_what_is_to_be_done_with_the_files_is_told(language: str) -> None:
    """A roll has no first page to be printed alone, and pages for a desk printer no print shop."""
    words = words_of(language)
    beginnings = {key: words[key][:20] for key in ("bundle_check", "bundle_check_large")}
    for sheet, key in zip(SHEETS, beginnings, strict=True):
        content = first_read(PATTERN, replace(FACTS, sheets=(sheet,)), language)
        text = " ".join(content.decode("utf-8-sig").split())
        for other, begins in beginnings.items():
            assert (begins in text) == (key == other)
        assert words["bundle_print_one"] in text
        assert words["bundle_roll"].format(size="914 mm") in text or not sheet.roll


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=300), max_size=4))
def test_a_plain_text_is_ascii_or_says_that_it_is_utf8(blocks: list[str]) -> None:
    content = plain_text(blocks)
    if not content.isascii():
        assert content.startswith(b"\xef\xbb\xbf")
    assert content.count(b"\n") == content.count(b"\r\n")


def test_a_licence_is_in_the_makers_words_or_says_that_there_are_none() -> None:
    said = licence_text(("Sew it.", "Do not sell it."), "Seed pouch", "en").decode()
    assert said == "Seed pouch\r\n\r\nSew it.\r\n\r\nDo not sell it.\r\n"
    for language in languages():
        text = licence_text((), "Seed pouch", language).decode("utf-8-sig")
        assert len(text) > 60


def test_the_language_is_the_one_asked_for_the_makers_or_english() -> None:
    assert language_of("uk", "de") == "uk"
    assert language_of("", "de-CH") == "de"
    assert language_of("", "pt-BR") == "en"
    assert language_of("") == "en"
    with pytest.raises(PatternError, match="Use one of de, en, uk"):
        language_of("xx")


def test_the_usual_program_takes_the_list_of_checksums(tmp_path: Path) -> None:
    """sha256sum of GNU coreutils."""
    files = {"a.txt": b"a", "sub/Größe 40.svg": b"<svg/>", "перед.svg": b""}
    for name, content in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(content)
    (tmp_path / "SHA256SUMS").write_bytes(sums_of(files))
    check = ["sha256sum", "--strict", "-c", "SHA256SUMS"]
    done = subprocess.run(check, cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count(": OK\n") == 3
    (tmp_path / "a.txt").write_bytes(b"b")
    assert subprocess.run(check, cwd=tmp_path, capture_output=True).returncode == 1


def test_where_it_lives_on_the_web_is_told() -> None:
    told = replace(PATTERN, handover=Handover(address="https://example.org/pouch"))
    assert b"https://example.org/pouch" in first_read(told, FACTS, "en")
