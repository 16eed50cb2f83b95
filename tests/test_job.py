"""The work from end to end, for every door alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from tiler.job import Packing, Surface, publish, read, slug
from tiler.pattern.errors import FileError


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Gardener's smock", "gardeners-smock"),
        ("Ärmel & Kragen", "ärmel-kragen"),
        ("Рабочий фартук", "рабочий-фартук"),
        ("İş önlüğü", "i̇ş-önlüğü"),
        ("?!", "pattern"),
        ("../../etc", "etc"),
    ],
)
def test_a_title_becomes_a_file_name_in_its_own_alphabet(title: str, name: str) -> None:
    assert slug(title) == name


def test_a_file_name_is_no_longer_than_file_systems_take() -> None:
    """255 bytes is the limit of ext4, NTFS counts 255 UTF-16 units; the ending comes on top."""
    assert len(slug("𠀀" * 200).encode()) <= 200


def test_there_is_no_demo_of_another_name() -> None:
    with pytest.raises(FileError, match="demo:smock"):
        read(Path("demo:gown"))


def test_progress_names_each_stage_and_never_runs_over(tmp_path: Path) -> None:
    seen: list[tuple[str, int, int]] = []
    publish(
        read(Path("demo:hat")),
        [Surface("a4")],
        tmp_path,
        lambda *told: seen.append(told),
        packing=Packing("quick"),
    )
    assert [stage.split()[0] for stage in dict.fromkeys(stage for stage, _, _ in seen)] == [
        "laying", "drawing", "writing", "proving",
    ]  # fmt: skip
    assert all(0 <= done <= total for _, done, total in seen)
