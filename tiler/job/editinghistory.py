"""Versions of a pattern file that were there before, kept in the pattern's folder."""

from __future__ import annotations

import json
import re
from collections import OrderedDict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Any

from tiler.output.editing.label import Label
from tiler.output.safely import Readied, readied
from tiler.pattern.errors import FileError

BEFORE = ".before"
#: So many versions can be gone back to.
MOST = 200
#: So many more are kept as files, which a redo cannot reach any more.
_LOOSE = 50
_LIST = "history.json"
_LIST_LIMIT = 1024 * 1024
_CONTENT_LIMIT = 1024 * 1024
_FILE = re.compile(r"(\d{6,})-([0-9a-f]{16})\.toml")
_VERSION = re.compile(r"[0-9a-f]{16}")
BY_HAND = Label("by_hand")


@dataclass(frozen=True, slots=True)
class State:
    """A version, and the change that led to it.

    Args:
        version: Its name.
        label: What was changed; None for the oldest one that is known.
    """

    version: str
    label: Label | None


@dataclass(frozen=True, slots=True)
class Line:
    """The versions in their order, and where in them the file is.

    Args:
        states: From the oldest on.
        at: The number of the present one, from 0.
    """

    states: tuple[State, ...] = ()
    at: int = 0

    def seen(self, version: str) -> Line:
        """The line with the file as it is found: one that was changed by hand is a state too."""
        if not self.states:
            return Line((State(version, None),), 0)
        same = [n for n, state in enumerate(self.states) if state.version == version]
        if same:
            return Line(self.states, min(same, key=lambda n: abs(n - self.at)))
        return self.gone_on(version, BY_HAND)

    def gone_on(self, version: str, label: Label) -> Line:
        """The line with one more version; what was undone before it can be redone no more."""
        states = (*self.states[: self.at + 1], State(version, label))[-MOST:]
        return Line(states, len(states) - 1)


class Before:
    """The kept versions of one pattern.

    Args:
        folder: Of the pattern.

    Raises:
        FileError: The folder of the versions is a link or no folder.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder / BEFORE
        if self._folder.is_symlink() or (self._folder.exists() and not self._folder.is_dir()):
            raise FileError(
                "earlier versions are kept here, but this is no folder of its own",
                where=str(self._folder),
                remedy="Move it away.",
            )

    @property
    def folder(self) -> Path:
        """Where they lie."""
        return self._folder

    def line(self) -> Line:
        """The history as it was written; empty when there is none that can be read."""
        try:
            with (self._folder / _LIST).open("rb") as file:
                found = json.loads(file.read(_LIST_LIMIT))
        except (OSError, ValueError, RecursionError):
            return Line()
        return _line_from(found)

    def write(self, line: Line) -> None:
        """Keep the history, and forget files that are past its bounds."""
        with readied(self._folder / _LIST, _words(line)) as draft:
            draft.place()
        self.forget(line)

    def keep(self, version: str, content: bytes) -> None:
        """Keep the bytes of a version, once."""
        for name, kept in self._unkept(((version, content),)):
            with readied(self._folder / name, kept) as draft:
                draft.place()

    @contextmanager
    def step(self, now: bytes, content: bytes, label: Label) -> Iterator[Step]:
        """Get ready to keep two versions and a history that has gone on from one to the other.

        Args:
            now: The file as it is.
            content: As it is to be.
            label: What was changed.

        Raises:
            FileError: It cannot be written.
        """
        line = self.line().seen(named(now))
        on = line.gone_on(named(content), label)
        versions = ((named(now), now), (named(content), content))
        with ExitStack() as left:
            drafts = [
                left.enter_context(readied(self._folder / name, kept))
                for name, kept in (*self._unkept(versions), (_LIST, _words(on)))
            ]
            yield Step(self, line, on, tuple(drafts))

    def _unkept(self, versions: Iterable[tuple[str, bytes]]) -> Iterator[tuple[str, bytes]]:
        """File name and bytes of those versions that are not kept yet."""
        known = list(self._files())
        names = {name for _, name, _ in known}
        number = max((number for number, _, _ in known), default=0)
        for version, content in versions:
            if version not in names:
                number += 1
                yield f"{number:06}-{version}.toml", content

    def content(self, version: str) -> bytes | None:
        """The bytes of a version; None when they are not kept, or are not what they were."""
        for _, name, path in self._files():
            if name == version:
                try:
                    with path.open("rb") as file:
                        found = file.read(_CONTENT_LIMIT + 1)
                except OSError:
                    return None
                return found if named(found) == version else None
        return None

    def has(self, version: str) -> bool:
        """Whether the bytes of a version are kept."""
        return self.content(version) is not None

    def _files(self) -> Iterator[tuple[int, str, Path]]:
        try:
            paths = sorted(self._folder.iterdir())
        except OSError:
            return
        for path in paths:
            match = _FILE.fullmatch(path.name)
            if match and not path.is_symlink():
                yield int(match[1]), match[2], path

    def forget(self, line: Line) -> None:
        """Remove files that no state of the history needs, but for the newest of them."""
        needed = {state.version for state in line.states}
        loose = [path for _, version, path in self._files() if version not in needed]
        for path in loose[: max(0, len(loose) - _LOOSE)]:
            path.unlink(missing_ok=True)


@dataclass(frozen=True, slots=True)
class Step:
    """A step that can be taken; made by `Before.step`."""

    before: Before
    was: Line
    on: Line
    drafts: tuple[Readied, ...]

    def take(self) -> None:
        """Keep the versions, and then the history."""
        for draft in self.drafts:
            draft.place()
        self.before.forget(self.on)

    def take_back(self) -> None:
        """Have the history as it was."""
        self.before.write(self.was)


def _words(line: Line) -> bytes:
    states = [
        {"version": state.version}
        if state.label is None
        else {"version": state.version, "did": state.label.key, "facts": dict(state.label.facts)}
        for state in line.states
    ]
    words = json.dumps({"at": line.at, "states": states}, ensure_ascii=False, indent=1)
    # Half of a letter, which drafting refuses, is written as JSON has it.
    return f"{words}\n".encode(errors="backslashreplace")


def named(content: bytes) -> str:
    """The name of a version: 16 hex digits of the SHA-256 of its bytes."""
    import hashlib

    return hashlib.sha256(content).hexdigest()[:16]


class Seen:
    """Versions that this process has read lately, so that a page may lag behind the file."""

    _MOST = 64

    def __init__(self) -> None:
        self._found: OrderedDict[str, bytes] = OrderedDict()
        self._lock = Lock()

    def remember(self, content: bytes) -> str:
        """Keep bytes; returns the name of their version."""
        version = named(content)
        with self._lock:
            self._found[version] = content
            self._found.move_to_end(version)
            while len(self._found) > self._MOST:
                self._found.popitem(last=False)
        return version

    def content(self, version: str) -> bytes | None:
        """The bytes of a version; None when they are not known."""
        with self._lock:
            return self._found.get(version)


def _line_from(found: Any) -> Line:
    states = found.get("states") if isinstance(found, dict) else None
    if not isinstance(states, list):
        return Line()
    read: list[State] = []
    for each in states[-MOST:]:
        version = each.get("version") if isinstance(each, dict) else None
        if not isinstance(version, str) or not _VERSION.fullmatch(version):
            return Line()
        read.append(State(version, _label_from(each) if read or "did" in each else None))
    at = found.get("at")
    last = len(read) - 1
    return Line(tuple(read), at if isinstance(at, int) and 0 <= at <= last else max(last, 0))


def _label_from(state: dict[str, Any]) -> Label:
    key, facts = state.get("did"), state.get("facts", {})
    if not isinstance(key, str) or not isinstance(facts, dict):
        return BY_HAND
    pairs: Sequence[tuple[str, str]] = [(str(name), str(value)) for name, value in facts.items()]
    label = Label(key, tuple(pairs))
    try:
        label.text()
    except (KeyError, IndexError, ValueError):
        return BY_HAND
    return label
