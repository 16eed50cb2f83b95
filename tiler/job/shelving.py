"""Pattern folders on a shelf: what they say of themselves, copies, names, and what is put away."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.pattern.errors import BlocksheetError, FileError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tiler.intake.words.model import PatternWords

#: Where patterns go that are out of the way, beside those that are in use.
PUT_AWAY = "put-away"
#: Made from a pattern; what is hidden is kept of its past. A copy begins without either.
_MADE = ("sheets",)
#: Files that a pattern folder is looked through for, at most.
_FILES = 2000
#: Name, time and size of each file.
Stamp = tuple[tuple[str, int, int], ...]
#: Letters of a folder's name.
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class Shelved:
    """What a pattern folder says of itself, before anything is drafted.

    Args:
        name: Of the folder.
        title: Of the pattern; the folder's name when it cannot be read.
        maker: Who made it.
        pieces: How many.
        styles: Their names.
        changed: When a file of it was changed last, seconds since 1970.
        error: Why it cannot be read; None when it can.
    """

    name: str
    title: str
    maker: str = ""
    pieces: int = 0
    styles: tuple[str, ...] = ()
    changed: float = 0.0
    error: BlocksheetError | None = None


@dataclass(frozen=True, slots=True)
class Demo:
    """One of our demonstration patterns: its name and its title."""

    name: str
    title: str


def shelved(folder: Path) -> Shelved:
    """Read the words of a pattern file alone, which is quick; drawings are not looked at.

    Args:
        folder: A pattern folder. One that cannot be read is told of in the answer.
    """
    from tiler.intake.files import content_of, inside
    from tiler.intake.folder import PATTERN_FILE_LIMIT
    from tiler.intake.patternfile import PATTERN_FILE

    changed = _changed([folder / PATTERN_FILE])
    try:
        words = _words(content_of(inside(folder, PATTERN_FILE), PATTERN_FILE_LIMIT))
    except BlocksheetError as error:
        return Shelved(folder.name, folder.name, changed=changed, error=error)
    drawings = {piece.drawing for piece in words.pieces}
    return Shelved(
        folder.name,
        words.title,
        words.maker,
        len(words.pieces),
        tuple(name for name, _ in words.styles),
        max(changed, _changed(folder / drawing for drawing in drawings)),
    )


def stamp_of(folder: Path) -> Stamp:
    """What is another as soon as a file of the pattern is another."""
    with _told(folder):
        return tuple(
            (file.relative_to(folder).as_posix(), file.stat().st_mtime_ns, file.stat().st_size)
            for file in islice(_own_files(folder), _FILES)
        )


def demos() -> tuple[Demo, ...]:
    """Our demonstration patterns."""
    from tiler.sheets.words import shipped

    folders = sorted(path.parent for path in shipped("demo_pieces").glob("*/pattern.toml"))
    return tuple(Demo(folder.name, shelved(folder).title) for folder in folders)


def name_for(title: str, taken: Iterable[str] = ()) -> str:
    """The name of a folder for a pattern, unlike all that are there.

    Args:
        title: Of the pattern, in any alphabet.
        taken: Names that are there; capitals do not count.
    """
    from tiler.job.naming import file_stem

    there = {name.casefold() for name in (*taken, PUT_AWAY)}
    stem = file_stem([title])[:_LONGEST].rstrip("-")
    name, count = stem, 1
    while name.casefold() in there:
        count += 1
        name = f"{stem}-{count}"
    return name


def refuse_name(name: str) -> None:
    """See that a folder may be called so, on any system.

    Raises:
        FileError: It may not.
    """
    from tiler.intake.sheetfile.names import shown, unsafe

    problem = "holds a slash" if "/" in name else unsafe(name) if name else "is empty"
    if name.startswith("."):
        problem = "begins with a dot, and would be hidden"
    if name.casefold() == PUT_AWAY:
        problem = "is that of the folder for what is put away"
    if len(name) > _LONGEST:
        problem = "is too long"
    if problem:
        raise FileError(
            f"the name {shown(name)} {problem}",
            remedy="Choose a short name of letters, digits and hyphens.",
        )


def copied(source: Path, target: Path) -> Path:
    """A copy of a pattern folder; what was published from it and its past are left out.

    Args:
        source: A pattern folder, or ``demo:NAME``.
        target: Not there yet.

    Raises:
        FileError: It cannot be read or written; nothing is left then.
    """
    from tiler.job.reading import locate
    from tiler.output.newfolder import write_new_folder

    source = locate(source)
    with _told(source):
        files = {
            file.relative_to(source).as_posix(): file.read_bytes() for file in _own_files(source)
        }
    write_new_folder(target, files)
    return target


def renamed(folder: Path, target: Path) -> Path:
    """Give a pattern folder another name.

    Args:
        folder: As it is.
        target: Beside it, not there yet.

    Raises:
        FileError: It cannot be; the folder is as it was.
    """
    refuse_name(target.name)
    if target.exists() or target.is_symlink():
        raise FileError(
            f"there is something called {target.name!r} already",
            where=str(target.parent),
            remedy="Choose another name.",
        )
    with _told(folder):
        folder.rename(target)
    return target


def put_away(folder: Path) -> Path:
    """Move a pattern folder, with all that is in it, to the folder for what is put away.

    Returns:
        Where it is now; a number stands behind its name when there was one of that name.

    Raises:
        FileError: It cannot be moved; it is as it was.
    """
    home = folder.parent / PUT_AWAY
    with _told(folder):
        home.mkdir(exist_ok=True)
        target = home / _free(folder.name, home)
        # Within one folder of one disk this is a change of names, and never half done.
        folder.rename(target)
    return target


def taken_back(root: Path, name: str) -> Path:
    """Move a pattern folder back to the shelf.

    Args:
        root: The folder of patterns.
        name: What it is called among those that are put away.

    Raises:
        FileError: There is none, or it cannot be moved.
    """
    if name not in away(root):
        raise FileError(f"no pattern called {name!r} is put away", where=str(root / PUT_AWAY))
    with _told(root):
        target = root / _free(name, root)
        (root / PUT_AWAY / name).rename(target)
        home = root / PUT_AWAY
        if not any(home.iterdir()):
            home.rmdir()
    return target


def away(root: Path) -> tuple[str, ...]:
    """Names of the pattern folders that are put away."""
    home = root / PUT_AWAY
    if home.is_symlink() or not home.is_dir():
        return ()
    with _told(home):
        return tuple(
            sorted(
                folder.name
                for folder in home.iterdir()
                if not folder.is_symlink() and (folder / "pattern.toml").is_file()
            )
        )


@lru_cache(maxsize=1000)
def _words(content: bytes) -> PatternWords:
    """The words of a pattern file; a shelf asks for the same ones each time it is looked at."""
    from tiler.intake.patternfile import parse_pattern_file

    return parse_pattern_file(content)


def _own_files(folder: Path) -> Iterator[Path]:
    """The files of a pattern folder, but what was made from it or is hidden."""
    for path in sorted(folder.iterdir()):
        if path.name in _MADE or path.name.startswith(".") or path.is_symlink():
            continue
        if path.is_dir():
            yield from _own_files(path)
        elif path.is_file():
            yield path


def _free(name: str, home: Path) -> str:
    there = {path.name.casefold() for path in home.iterdir()}
    free, count = name, 1
    while free.casefold() in there:
        count += 1
        free = f"{name}-{count}"
    return free


def _changed(files: Iterable[Path]) -> float:
    times = [0.0]
    for file in files:
        try:
            times.append(file.stat().st_mtime)
        except OSError:
            # What is not there is told of when the pattern is read.
            continue
    return max(times)


@contextmanager
def _told(place: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise FileError(
            f"it cannot be done ({(error.strerror or str(error)).lower()})",
            where=str(place),
            remedy="Nothing was changed. See that the folder may be written and is open nowhere.",
        ) from error
