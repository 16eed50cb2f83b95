"""File names of several words fit every file system, and stay apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.job.naming import file_stem

#: What ext4, APFS and NTFS take for a name (from memory; NTFS counts letters), less an ending.
MOST = 255 - len(".pdf")


def test_a_short_name_is_the_words_joined() -> None:
    assert file_stem(("Gardener's smock", "long"), "-a4") == "gardeners-smock-long-a4"


@pytest.mark.parametrize("device", ["Con", "NUL", "lpt1", "COM9"])
def test_no_file_is_called_as_a_device_on_windows(device: str) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces": those names mean no file, whatever their
    ending.
    """
    assert file_stem((device,)) == f"{device.lower()}-pattern"
    assert file_stem((device,), "-a4") == f"{device.lower()}-a4"


@given(st.lists(st.text(min_size=1, max_size=120), min_size=1, max_size=12))
def test_any_words_fit_a_file_system(words: list[str]) -> None:
    stem = file_stem(words, "-letter-for-kitchen")
    assert 0 < len(stem.encode()) <= MOST
    assert "/" not in stem


def test_long_names_that_differ_at_their_end_stay_apart() -> None:
    """Sixty pieces chosen by name, and all but the last the same."""
    one = [f"Halbes Vorderteil {number}" for number in range(60)]
    stems = {file_stem(one, "-a4"), file_stem([*one[:-1], "Kragen"], "-a4"), file_stem(one, "-a3")}
    assert len(stems) == 3
    assert all(len(stem.encode()) <= MOST for stem in stems)
