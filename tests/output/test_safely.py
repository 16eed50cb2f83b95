"""Files are there whole or not at all, and what was there before is never harmed."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

import pytest

from tiler.output.safely import readied, replacing, writable
from tiler.pattern.errors import ExitCode, FileError

OLD, NEW = b"the old print", b"the new print"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A file from an earlier run."""
    file = tmp_path / "out" / "apron-a4.pdf"
    file.parent.mkdir()
    file.write_bytes(OLD)
    return file


def only_the_target_is_there(target: Path) -> bool:
    return [path.name for path in target.parent.iterdir()] == [target.name]


def test_the_new_file_takes_the_place_of_the_old_one(target: Path) -> None:
    """Afterwards the new content is there, and nothing beside it."""
    with replacing(target) as draft:
        assert draft.parent == target.parent
        draft.write_bytes(NEW)
        assert target.read_bytes() == OLD
    assert target.read_bytes() == NEW
    assert only_the_target_is_there(target)


def test_missing_folders_are_made(tmp_path: Path) -> None:
    """The folder for the prints need not exist."""
    target = tmp_path / "prints" / "2" / "hat.pdf"
    with replacing(target) as draft:
        draft.write_bytes(NEW)
    assert target.read_bytes() == NEW


@pytest.mark.parametrize("interruption", [ValueError, KeyboardInterrupt, SystemExit, MemoryError])
def test_when_the_work_fails_the_old_file_stays(
    target: Path, interruption: type[BaseException]
) -> None:
    """Whatever stops the work, the old print is untouched and no litter is left."""
    with pytest.raises(interruption), replacing(target) as draft:
        half_written(draft, interruption())
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def half_written(draft: Path, error: BaseException) -> None:
    draft.write_bytes(NEW[:5])
    raise error


def no_space(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_disk_while_writing_is_told(target: Path) -> None:
    """The error of the writing itself becomes a sentence with the file's name."""
    with pytest.raises(FileError, match="no space left") as told, replacing(target) as draft:
        half_written(draft, OSError(errno.ENOSPC, os.strerror(errno.ENOSPC)))
    assert str(target) in str(told.value)
    assert "untouched" in str(told.value)
    assert told.value.exit_code is ExitCode.BAD_INPUT
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def test_a_full_disk_at_the_last_moment_is_told(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some file systems notice only when the content is forced to the disk."""
    monkeypatch.setattr(os, "fsync", no_space)
    with pytest.raises(FileError, match="no space left"), replacing(target) as draft:
        draft.write_bytes(NEW)
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def test_a_target_that_cannot_be_replaced_is_told(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program may hold the old file open."""

    def held(*_: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "replace", held)
    with pytest.raises(FileError, match="permission denied"), replacing(target) as draft:
        draft.write_bytes(NEW)
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def test_a_real_full_device_is_told() -> None:
    """/dev/full refuses every byte; nothing but a sentence comes of it."""
    with pytest.raises(FileError, match="no space left"), replacing(Path("/dev/full")):
        Path("/dev/full").write_bytes(NEW)
    assert not [path for path in Path("/dev").iterdir() if path.name.startswith(".full.")]
    assert stat.S_ISCHR(Path("/dev/full").stat().st_mode)


@pytest.mark.parametrize("where", ["file/out/apron.pdf", "file/apron.pdf"])
def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path, where: str) -> None:
    """A file stands where a folder would have to be."""
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileError, match="cannot be written") as told, replacing(tmp_path / where):
        raise AssertionError("the work must not begin")
    assert where in str(told.value)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file"]


def test_a_target_that_is_a_folder_is_told(tmp_path: Path) -> None:
    """The folder and what is in it stay."""
    folder = tmp_path / "apron.pdf"
    folder.mkdir()
    (folder / "keep").write_bytes(OLD)
    with pytest.raises(FileError), replacing(folder) as draft:
        draft.write_bytes(NEW)
    assert (folder / "keep").read_bytes() == OLD
    assert only_the_target_is_there(folder)


def test_the_new_file_can_be_read_by_others_as_usual(target: Path) -> None:
    """Its permissions follow the umask, as those of any new file."""
    before = os.umask(0o027)
    try:
        with replacing(target) as draft:
            draft.write_bytes(NEW)
    finally:
        os.umask(before)
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_errors_of_the_work_itself_are_not_renamed(target: Path) -> None:
    """An error that has its own words keeps them."""
    with pytest.raises(FileError, match="no such drawing"), replacing(target):
        raise FileError("no such drawing")
    assert only_the_target_is_there(target)


def test_a_folder_is_tried_before_the_work(tmp_path: Path) -> None:
    """It is made when it is missing, and left empty."""
    folder = tmp_path / "a" / "b"
    writable(folder)
    assert list(folder.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_told_before_the_work(tmp_path: Path) -> None:
    """/proc takes no files from anybody; neither does a file instead of a folder."""
    file = tmp_path / "file"
    file.write_bytes(OLD)
    for folder in (file, file / "out", Path("/proc/self")):
        with pytest.raises(FileError, match="cannot be written") as told:
            writable(folder)
        assert str(folder) in str(told.value)
    assert file.read_bytes() == OLD


def test_a_name_as_long_as_the_file_system_takes_can_be_written(tmp_path: Path) -> None:
    """Names may have 255 bytes on common file systems; the draft must not need more."""
    target = tmp_path / f"{'წ' * 83}a.pdf"
    assert 250 < len(target.name.encode()) <= 255
    with replacing(target) as draft:
        draft.write_bytes(NEW)
    assert target.read_bytes() == NEW


def test_a_file_is_made_ready_while_it_is_decided_whether_it_is_wanted(target: Path) -> None:
    """Until it is placed the old one stands; then the new one does, with the mode asked for."""
    with readied(target, NEW, 0o640) as draft:
        assert target.read_bytes() == OLD
        draft.place()
        assert target.read_bytes() == NEW
    assert stat.S_IMODE(target.stat().st_mode) == 0o640
    assert only_the_target_is_there(target)


def test_a_file_that_was_made_ready_and_is_not_wanted_leaves_nothing(target: Path) -> None:
    """Neither when the block just ends, nor when what goes on in it fails."""
    with readied(target, NEW):
        pass
    with pytest.raises(ValueError, match="refused"), readied(target, NEW):
        raise ValueError("refused")
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def test_a_disk_that_is_full_meanwhile_is_told(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The content is forced to the disk beside the work; what came of it is told at the end."""
    monkeypatch.setattr(os, "fsync", no_space)
    with readied(target, NEW) as draft, pytest.raises(FileError, match="no space left"):
        draft.place()
    assert target.read_bytes() == OLD
    assert only_the_target_is_there(target)


def test_a_folder_that_cannot_be_written_is_told_at_once(tmp_path: Path) -> None:
    """Before any other work is done."""
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileError, match="cannot be written"), readied(tmp_path / "file/a", NEW):
        raise AssertionError("the work must not begin")
