"""Names inside a bundle are ASCII, short, and never twice the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.sheetfile.names import unsafe
from tiler.output.bundle.names import free_name, plain_name


@given(st.text(max_size=200))
def test_any_words_give_a_name_for_every_system(words: str) -> None:
    name = plain_name(words, "pattern")
    assert name.isascii()
    assert name == name.lower()
    assert 0 < len(name) <= 60
    assert unsafe(f"sheets/{name}-a4.pdf") == ""


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("Gardener's smock", "gardeners-smock"),
        ("Große Schürze", "grosse-schurze"),
        ("Tablier à poches", "tablier-a-poches"),
        ("Садовий халат", "pattern"),
        ("割烹着 2", "pattern"),
        ("…", "pattern"),
    ],
)
def test_what_becomes_of_titles(words: str, name: str) -> None:
    assert plain_name(words, "pattern") == name


def test_a_taken_name_gets_a_number() -> None:
    taken = {"lay-plans/cloth-90cm.pdf", "lay-plans/cloth-90cm-2.pdf"}
    assert free_name("lay-plans/cloth-90cm.pdf", taken) == "lay-plans/cloth-90cm-3.pdf"
    assert free_name("new.pdf", taken) == "new.pdf"


def test_a_number_goes_before_the_ending_and_not_into_a_width() -> None:
    taken = {"lay-plans/cloth-1372.5mm.pdf"}
    name = free_name("lay-plans/cloth-1372.5mm.pdf", taken)
    assert name == "lay-plans/cloth-1372.5mm-2.pdf"
