"""A friend reads the usual cloths in their own words, beside the maker's."""

from __future__ import annotations

import pytest

from tiler.sheets.clothnames import cloth_called, cloth_words


@pytest.mark.parametrize(
    ("name", "language", "words"),
    [
        ("main", "de", "Oberstoff (main)"),
        ("Interfacing", "uk", "прокладкова тканина (Interfacing)"),
        ("Futter", "en", "lining (Futter)"),
        # The maker's own language, or a name that is nobody's word.
        ("main", "en", "main"),
        ("Oberstoff", "de", "Oberstoff"),
        ("ticking", "de", "ticking"),
        ("", "de", ""),
    ],
)
def test_the_makers_name_stays_beside_the_readers(name: str, language: str, words: str) -> None:
    """The sheets are labelled with the maker's name. Sewing words of the languages, no source."""
    assert cloth_words(name, language) == words
    assert bool(cloth_called(name, language)) == (words != name)
