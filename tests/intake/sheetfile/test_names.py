"""Names that are taken lie in their folder and are one file each, on every system."""

from __future__ import annotations

import unicodedata
from pathlib import PurePosixPath, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.sheetfile.names import refuse_unsafe, unsafe
from tiler.pattern.errors import FileError

# "Naming Files, Paths, and Namespaces" (Windows documentation): forbidden characters and the
# names of devices, from memory.
FORBIDDEN = '<>:"|?*\\'
DEVICES = ["CON", "PRN", "AUX", "NUL", *(f"{d}{n}" for d in ("COM", "LPT") for n in range(1, 10))]
CRAFTY = st.text(st.sampled_from("aA.:/\\ ~*é\u0301\u202e\x00\ncon"), max_size=12)


@given(CRAFTY | st.text(max_size=12))
def test_a_name_that_is_taken_stays_in_its_folder(name: str) -> None:
    if unsafe(name):
        return
    for path in (PurePosixPath(name), PureWindowsPath(name)):
        assert not path.is_absolute()
        assert not path.drive
        assert not path.root
        assert ".." not in path.parts
    assert not set(FORBIDDEN) & set(name)
    for part in name.split("/"):
        assert part.strip() == part
        assert not part.endswith(".")
        # The same judgement by the standard library.
        assert not PureWindowsPath(part).is_reserved()


@pytest.mark.parametrize("device", DEVICES)
@pytest.mark.parametrize("form", ["{}", "{}.svg", "sub/{}.tar.gz", "{} .svg"])
def test_names_of_devices_are_refused_in_every_case(device: str, form: str) -> None:
    for name in (device, device.lower(), device.title()):
        assert "device" in unsafe(form.format(name))


@pytest.mark.parametrize(
    "name",
    [
        "pattern.toml",
        "front.svg",
        "Vorderteil, Größe 40.svg",
        "перед.svg",
        "前身頃.svg",
        "sub folder/front (1).svg",
        "console.svg",
        ".svg",
        "a..b.svg",
        unicodedata.normalize("NFD", "Rücken.svg"),
    ],
)
def test_names_as_makers_give_them_are_taken(name: str) -> None:
    assert unsafe(name) == ""
    refuse_unsafe([name])


@given(st.lists(st.sampled_from(["a", "A", "ä", "a\u0308", "Ä", "ﬁ", "fi", "b"]), max_size=5))
def test_names_that_are_taken_together_differ_for_a_system_that_tells_less_apart(
    names: list[str],
) -> None:
    """As two common file systems fold case and write accents (from memory): upper case of the
    composed form, lower case of the decomposed one.
    """
    try:
        refuse_unsafe(names)
    except FileError:
        return
    for fold in (
        lambda name: unicodedata.normalize("NFC", name).upper(),
        lambda name: unicodedata.normalize("NFD", name).lower(),
    ):
        assert len({fold(name) for name in names}) == len(names)


def test_a_folder_may_hold_several_files_and_be_listed_itself() -> None:
    refuse_unsafe(["pattern/", "pattern/a.svg", "pattern/b.svg", "sheets/a.svg"])


@pytest.mark.parametrize(
    "names", [["a/b", "a"], ["a", "a/b"], ["A", "a/b/c"], ["a/", "a"], ["a", "A/"]]
)
def test_no_name_is_a_file_and_a_folder(names: list[str]) -> None:
    with pytest.raises(FileError, match="the same as"):
        refuse_unsafe(names)
