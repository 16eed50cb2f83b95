"""A pattern file changed by one thing at a time; every version before it is kept."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tiler.intake.files import content_of, inside
from tiler.intake.folder import PATTERN_FILE_LIMIT, gather_for
from tiler.intake.patternfile import PATTERN_FILE
from tiler.job.editinghistory import BY_HAND, Before, Line, Seen, named
from tiler.job.editinglock import alone_in
from tiler.output.editing.document import Document
from tiler.output.editing.merging import ConflictError, merged
from tiler.output.safely import Readied, readied
from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from tiler.output.editing.change import Change
    from tiler.output.editing.label import Label
    from tiler.pattern.model import Pattern, Source

__all__ = [
    "ConflictError",
    "Edited",
    "History",
    "Opened",
    "edit",
    "history",
    "opened",
    "redo",
    "undo",
    "version_of",
]

_SEEN = Seen()
#: Somebody who writes by hand all the time is given way so often.
_TRIES = 20

#: Files of a pattern -> the pattern, drafted and found sound.
Drafting = Callable[[Sequence["Source"]], "Pattern"]


@dataclass(frozen=True, slots=True)
class Edited:
    """What became of a change.

    Args:
        version: Of the file now.
        label: What was done, in a few words.
        merged: Whether the file had been changed in between.
    """

    version: str
    label: str
    merged: bool


@dataclass(frozen=True, slots=True)
class History:
    """What can be undone and redone, in a few words; None for nothing."""

    undo: str | None
    redo: str | None


@dataclass(frozen=True, slots=True)
class Opened:
    """What a pattern file says, word for word.

    Args:
        version: Of the file.
        said: Its tables, as a TOML parser gives them.
    """

    version: str
    said: dict[str, Any]


def opened(folder: Path) -> Opened:
    """Read a pattern file to be changed.

    Raises:
        FileError: There is no such file, or it is no TOML.
    """
    content = _read(folder)
    return Opened(_SEEN.remember(content), Document.of(content).data)


def version_of(folder: Path) -> str:
    """The version of a folder's pattern file: 16 hex digits of the SHA-256 of its bytes.

    Raises:
        FileError: There is no such file, or it cannot be read.
    """
    return _SEEN.remember(_read(folder))


def edit(folder: Path, change: Change, based_on: str, drafting: Drafting | None = None) -> Edited:
    """Do one change, keeping all else in the file as it is written.

    Args:
        folder: Of the pattern.
        change: What is to be different.
        based_on: The version that the change was thought of for.
        drafting: Drafts the changed pattern to see that it holds together; None for the plain way.

    Raises:
        ConflictError: What the change touches was changed since that version.
        BlocksheetError: The changed file would not hold together, or cannot be written. Nothing is
            changed then.
    """
    before = Before(folder)
    with alone_in(before.folder):
        for _ in range(_TRIES):
            now = _read(folder)
            late = named(now) != based_on
            content = _changed(before, change, now, based_on)
            drafts = drafting or _drafted
            if content == now:
                change.refuse_unmet(drafts(gather_for(folder, content)))
                return Edited(_SEEN.remember(content), str(change.label), late)
            with (
                before.step(now, content, change.label) as step,
                _instead_of(_file(folder), content) as draft,
            ):
                # The disk is at work on the files meanwhile.
                change.refuse_unmet(drafts(gather_for(folder, content)))
                # First the history: when the work is cut off here, the file is found one step
                # back in it.
                step.take()
                if _swapped(before, now, draft):
                    return Edited(_SEEN.remember(content), str(change.label), late)
                step.take_back()
    raise ConflictError(PATTERN_FILE)


def undo(folder: Path, based_on: str) -> Edited:
    """Go back to the version before; a file that was changed by hand is kept as a version.

    Raises:
        ConflictError: The file is no longer the one that the request was made for.
        FileError: There is nothing to go back to, or it cannot be written.
    """
    return _step(folder, based_on, -1)


def redo(folder: Path, based_on: str) -> Edited:
    """Do again what was undone last.

    Raises:
        ConflictError: The file is no longer the one that the request was made for.
        FileError: There is nothing to do again, or it cannot be written.
    """
    return _step(folder, based_on, +1)


def history(folder: Path, language: str = "en") -> History:
    """What would be undone and redone.

    Args:
        folder: Of the pattern.
        language: Of the words.

    Raises:
        FileError: There is no pattern file.
    """
    before = Before(folder)
    found = before.line()
    line = found.seen(version_of(folder)) if found.states else found
    back = (
        _label(line, line.at) if line.at and before.has(line.states[line.at - 1].version) else None
    )
    on = line.at + 1
    there = on < len(line.states) and before.has(line.states[on].version)
    again = _label(line, on) if there else None
    return History(back.text(language) if back else None, again.text(language) if again else None)


def _step(folder: Path, based_on: str, way: int) -> Edited:
    before = Before(folder)
    with alone_in(before.folder):
        now = _read(folder)
        if named(now) != based_on:
            raise ConflictError(PATTERN_FILE)
        line = before.line().seen(based_on)
        to = line.at + way
        known = 0 <= to < len(line.states)
        content = before.content(line.states[to].version) if known else None
        if content is None:
            raise FileError(
                f"there is nothing to {'undo' if way < 0 else 'redo'}",
                where=PATTERN_FILE,
                remedy="Nothing was changed.",
            )
        label = _label(line, line.at if way < 0 else to)
        with _instead_of(_file(folder), content) as draft:
            before.keep(based_on, now)
            before.write(Line(line.states, to))
            if not _swapped(before, now, draft):
                raise ConflictError(PATTERN_FILE)
        return Edited(_SEEN.remember(content), str(label), False)


def _changed(before: Before, change: Change, now: bytes, based_on: str) -> bytes:
    """The file with the change in it.

    Raises:
        ConflictError: What it touches was changed since.
    """
    doc = Document.of(now)
    if named(now) == based_on:
        return change.done(doc).content
    known = _SEEN.content(based_on) or before.content(based_on)
    if known is None:
        raise ConflictError(PATTERN_FILE)
    return merged(change, Document.of(known), doc).content


def _instead_of(target: Path, content: bytes) -> AbstractContextManager[Readied]:
    return readied(target, content, stat.S_IMODE(target.stat().st_mode))


def _swapped(before: Before, now: bytes, draft: Readied) -> bool:
    """Put a file in another's place, unless that one is no longer what it was.

    Editors write without asking for the lock. One that writes into the old file after it was
    compared loses its place, so the old file is looked at once more, and put back.
    """
    draft.wait()
    target = draft.target
    with target.open("rb") as old:
        if old.read() != now:
            return False
        if os.name != "posix":
            old.close()
        draft.place()
        if os.name != "posix":
            return True
        old.seek(0)
        late = old.read()
    if late == now:
        return True
    before.keep(named(late), late)
    with _instead_of(target, late) as back:
        back.place()
    return False


def _drafted(sources: Sequence[Source]) -> Pattern:
    from tiler.drafting.draft import drafted
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import read_sources

    return sound(drafted(read_sources(sources)))


def _file(folder: Path) -> Path:
    return inside(folder, PATTERN_FILE)


def _read(folder: Path) -> bytes:
    return content_of(_file(folder), PATTERN_FILE_LIMIT)


def _label(line: Line, at: int) -> Label:
    return line.states[at].label or BY_HAND
