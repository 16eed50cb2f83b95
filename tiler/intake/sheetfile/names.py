"""Names of files that mean the same file on every system, and none outside of their folder."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from tiler.pattern.errors import FileError

#: Letters, for a part of a path and for the whole of it. 260 is the most that many programs on
#: Windows take, and the folder's own path counts with it (common practice, no source).
LONGEST_PART, LONGEST = 120, 200
#: Bytes that all common file systems take for a part.
_MOST_BYTES = 255
_DEEPEST = 8
_FORBIDDEN = set('<>:"|?*\\')
#: Names of devices on Windows, whatever their ending.
_DEVICE = re.compile(r"(CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|(COM|LPT)[0-9¹²³])", re.IGNORECASE)
#: Characters that cannot be seen, that turn the writing round, or that are no text.
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
_REMEDY = "Nothing was written. Ask whoever gave you the file for another one."


def refuse_unsafe(names: Iterable[str], remedy: str = _REMEDY) -> None:
    """See that files of these names can be put into a folder on any system.

    Args:
        names: Paths with forward slashes, from the folder that they are to lie in. Those that end
            with a slash are folders.
        remedy: What to do when they cannot.

    Raises:
        FileError: A name leads out of the folder, is no name somewhere, or two names are one for
            a system that does not tell case or ways of writing accents apart.
    """
    files: dict[str, str] = {}
    folders: dict[str, str] = {}
    for name in names:
        if problem := unsafe(name.removesuffix("/")):
            raise _refused(name, problem, remedy)
        parts = _alike(name.removesuffix("/")).split("/")
        path = "/".join(parts)
        is_folder = name.endswith("/")
        above = ["/".join(parts[:count]) for count in range(1, len(parts))]
        clash = files.get(path) or (None if is_folder else folders.get(path))
        clash = clash or next((files[folder] for folder in above if folder in files), None)
        if clash == name:
            raise _refused(name, "is there twice", remedy)
        if clash is not None:
            raise _refused(name, f"is the same as {shown(clash)} on some systems", remedy)
        if is_folder:
            above.append(path)
        else:
            files[path] = name
        for folder in above:
            folders.setdefault(folder, name)


def unsafe(name: str) -> str:
    """Why a path cannot be used everywhere, as the end of a sentence; empty when it can."""
    parts = name.split("/")
    if name.startswith(("/", "\\")) or re.match(r"[A-Za-z]:", name) or ".." in _words(name):
        return "leads out of its folder"
    if any(unicodedata.category(c) in _UNSEEN for c in name):
        return "holds characters that cannot be seen"
    if found := sorted(_FORBIDDEN & set(name)):
        return f"holds {found[0]!r}, which some systems do not allow"
    if any(part in ("", ".") for part in parts):
        return "is no whole name"
    if any(part[-1] in ". " or part[0] == " " for part in parts):
        return "begins or ends with a blank or ends with a dot, which some systems take away"
    if any(map(is_device, parts)):
        return "is the name of a device on some systems"
    if len(name) > LONGEST or len(parts) > _DEEPEST or any(map(_too_long, parts)):
        return "is too long for some systems"
    return ""


def is_device(part: str) -> bool:
    """Whether Windows takes a part of a path for a device, whatever its ending."""
    return _DEVICE.fullmatch(part.split(".")[0].rstrip()) is not None


def shown(name: str) -> str:
    """A name that can be printed in one line, whatever is in it."""
    short = name if len(name) <= 80 else f"{name[:77]}…"
    return ascii(short) if any(unicodedata.category(c) in _UNSEEN for c in short) else repr(short)


def _alike(name: str) -> str:
    """The same for names that some system takes for one."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFKC", name).casefold())


def _words(name: str) -> list[str]:
    return [part.strip() for part in name.replace("\\", "/").split("/")]


def _too_long(part: str) -> bool:
    return len(part) > LONGEST_PART or len(part.encode()) > _MOST_BYTES


def _refused(name: str, problem: str, remedy: str) -> FileError:
    return FileError(f"the name {shown(name)} inside it {problem}", remedy=remedy)
