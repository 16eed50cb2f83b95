"""Files that a page sends: named, counted and weighed before anything reads them."""

from __future__ import annotations

import shutil
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.intake.files import MIB
from tiler.intake.folder import DRAWING_LIMIT
from tiler.intake.sheetfile.names import shown, unsafe
from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from starlette.datastructures import UploadFile


@dataclass(frozen=True, slots=True)
class Kind:
    """Files that go together.

    Args:
        name: drawings, photos or published.
        endings: Of their names.
        most: How many at one go.
        each: Bytes of one.
        all: Bytes of all.
    """

    name: str
    endings: tuple[str, ...]
    most: int
    each: int
    all: int


KINDS = (
    Kind("drawings", (".svg", ".csv", ".dxf"), 40, DRAWING_LIMIT, 2 * DRAWING_LIMIT),
    Kind("photos", (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp"), 12, 60 * MIB, 110 * MIB),
    Kind("published", (".pdf", ".zip"), 1, 110 * MIB, 110 * MIB),
)
#: First bytes of files that are not what a drawing's name says (their formats' specifications).
_OTHERS = (
    (b"\x89PNG\r\n", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"%PDF-", "a PDF file"),
    (b"PK\x03\x04", "a ZIP file"),
    (b"II*\x00", "a TIFF picture"),
    (b"MM\x00*", "a TIFF picture"),
    (b"\x1f\x8b", "a packed file"),
)
#: What systems do not take in a name, or nobody can see.
_NOT_IN_NAMES = set('<>:"|?*')
_AGAIN = "Give the file another name, and give it again."


def endings() -> tuple[str, ...]:
    """The endings of all files that can be given."""
    return tuple(ending for kind in KINDS for ending in kind.endings)


def kind_of(files: Sequence[UploadFile]) -> Kind:
    """What was given.

    Raises:
        FileError: Nothing; what cannot be read; files that do not go together; too many.
    """
    if not files:
        raise FileError("no file was chosen", remedy="Choose one, or drop it here.")
    kinds = {_kind(file.filename or "").name for file in files}
    if len(kinds) > 1:
        raise FileError(
            f"{' and '.join(sorted(kinds))} were given together",
            remedy="Give them one kind at a time: drawings, or photos, or one published file.",
        )
    kind = next(each for each in KINDS if each.name in kinds)
    if len(files) > kind.most:
        raise FileError(
            f"{len(files)} {kind.name} were given at one go",
            remedy=f"Give {kind.most} or fewer."
            if kind.most > 1
            else "Give one published file at a time.",
        )
    return kind


def stored(files: Sequence[UploadFile], kind: Kind, folder: Path) -> tuple[Path, ...]:
    """Write what was sent into a folder, under names that are names everywhere.

    Args:
        files: All of that kind.
        kind: What they are.
        folder: Empty.

    Raises:
        FileError: A name that leads elsewhere or is none, two alike, too many bytes, none at all,
            or content that is not what the name says.
    """
    names = [clean_name(file.filename or "") for file in files]
    alike: dict[str, str] = {}
    for name in names:
        key = unicodedata.normalize("NFKC", name).casefold()
        if key in alike:
            raise FileError(
                f"two files are called {shown(name)}"
                if alike[key] == name
                else f"{shown(alike[key])} and {shown(name)} are one name on some systems",
                remedy="Give one of them another name: each becomes a piece of its own.",
            )
        alike[key] = name
    paths, total = [], 0
    for file, name in zip(files, names, strict=True):
        size = _size(file)
        total += size
        _refuse_size(name, size, total, kind)
        if kind.name == "drawings":
            _refuse_other(file, name)
        target = folder / name
        with target.open("xb") as out:
            shutil.copyfileobj(file.file, out)
        paths.append(target)
    return tuple(paths)


def clean_name(given: str) -> str:
    """A file's name without what no system shows or takes.

    Raises:
        FileError: It leads elsewhere, is that of a device, or is too long.
    """
    if "/" in given or "\\" in given or ".." in given.split("."):
        raise FileError(f"the name {shown(given)} leads to another folder", remedy=_AGAIN)
    # Browsers write the quotation mark so (HTML standard, "multipart/form-data").
    plain = unicodedata.normalize("NFC", given.replace("%22", '"'))
    kept = "".join(" " if _hidden(c) or c in _NOT_IN_NAMES else c for c in plain)
    stem, dot, ending = kept.rpartition(".")
    name = " ".join(stem.split()).rstrip(".") + dot + ending.strip()
    problem = unsafe(name) if name.lstrip(".") == name else "begins with a dot"
    if problem:
        raise FileError(f"the name {shown(given)} {problem}", remedy=_AGAIN)
    return name


def _hidden(letter: str) -> bool:
    return unicodedata.category(letter)[0] == "C" or unicodedata.category(letter) in ("Zl", "Zp")


def _kind(name: str) -> Kind:
    ending = Path(name).suffix.lower()
    for kind in KINDS:
        if ending in kind.endings:
            return kind
    raise FileError(
        f"{shown(name)} is no drawing, photo or published pattern",
        remedy=f"Files that can be given end in {', '.join(endings())}.",
    )


def _size(file: UploadFile) -> int:
    end = file.file.seek(0, 2)
    file.file.seek(0)
    return end


def _refuse_size(name: str, size: int, total: int, kind: Kind) -> None:
    if size == 0:
        raise FileError(
            "the file is empty", where=name, remedy="Save it again, and give it once more."
        )
    if size > kind.each:
        raise FileError(
            f"the file has {size / MIB:.0f} MiB, more than {kind.each // MIB}",
            where=name,
            remedy="Save it smaller.",
        )
    if total > kind.all:
        raise FileError(
            f"the files have more than {kind.all // MIB} MiB together", remedy="Give fewer of them."
        )


def _refuse_other(file: UploadFile, name: str) -> None:
    head = file.file.read(8)
    file.file.seek(0)
    for start, words in _OTHERS:
        if head.startswith(start):
            raise FileError(
                f"this is {words}, whatever its name says",
                where=name,
                remedy="Save the drawing as plain SVG at true size. A photo of a tracing is given "
                "under the name it had.",
            )
