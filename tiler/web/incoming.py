"""Files on their way into the library: hidden beside its patterns, and gone afterwards.

Each run has a folder of its own with a file that it keeps locked. Where the lock is free, the run
has ended, however it ended, and its folder is swept away by the next one.
"""

from __future__ import annotations

import secrets
import shutil
import threading
import time
import weakref
from collections import OrderedDict
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, TYPE_CHECKING

from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from tiler.job.interview import Interview
    from tiler.web.begin.reading import Photographed

_PREFIX = ".studio-incoming-"
_LOCK = "in-use"
#: Arrivals that are kept at once; the oldest goes.
_MOST = 6
#: A folder without a lock may be one that is just being made, for so many seconds.
_NEW = 60.0


@dataclass
class Arrival:
    """What was given at one go, and what is known of it.

    Args:
        id: In addresses.
        kind: drawings or photos.
        folder: Of its own.
        files: In it, as they were given.
        interview: What to ask, once it was read.
        photographed: What photos gave, once they were read.
        work: Id of the long work that reads photos.
    """

    id: str
    kind: str
    folder: Path
    files: tuple[Path, ...] = ()
    interview: Interview | None = None
    photographed: Photographed | None = None
    work: str = ""
    said: dict[str, str] = field(default_factory=dict)

    @property
    def captured(self) -> Path | None:
        """The pattern folder that photos became; None when there were none."""
        return self.folder / "captured" if self.photographed else None


class Incoming:
    """All that is on its way.

    Args:
        root: The library, which need not be writable before something arrives.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self._home: Path | None = None
        self._all: OrderedDict[str, Arrival] = OrderedDict()
        self._lock = threading.Lock()
        _sweep(root)

    def arrive(self, kind: str) -> Arrival:
        """Room for new files.

        Raises:
            FileError: The library cannot be written.
        """
        with self._lock:
            name = secrets.token_hex(8)
            arrival = Arrival(name, kind, self._place() / name)
            try:
                arrival.folder.mkdir()
            except OSError as error:
                raise _told(error, self.root) from error
            self._all[name] = arrival
            old = [] if len(self._all) <= _MOST else [self._all.popitem(last=False)[1]]
        for each in old:
            shutil.rmtree(each.folder, ignore_errors=True)
        return arrival

    def get(self, name: str) -> Arrival:
        """What arrived under that id.

        Raises:
            FileError: It is not there any more.
        """
        found = self._all.get(name)
        if found is None:
            raise FileError(
                "these files are no longer at hand",
                remedy="Nothing of yours is lost. Give them again.",
            )
        return found

    def gone(self, arrival: Arrival) -> None:
        """Remove it."""
        self._all.pop(arrival.id, None)
        shutil.rmtree(arrival.folder, ignore_errors=True)

    def _place(self) -> Path:
        """This run's folder, made when it is needed first."""
        if self._home is not None and self._home.is_dir():
            return self._home
        home = self.root / f"{_PREFIX}{secrets.token_hex(8)}"
        try:
            home.mkdir()
            held = (home / _LOCK).open("wb")
            _take(held)
        except OSError as error:
            raise _told(error, self.root) from error
        weakref.finalize(self, _end, home, held)
        self._home = home
        return home


def _sweep(root: Path) -> None:
    """Remove what runs that have ended midway have left."""
    with suppress(OSError):
        for home in root.glob(f"{_PREFIX}*"):
            if home.is_symlink() or not home.is_dir() or _in_use(home):
                continue
            shutil.rmtree(home, ignore_errors=True)


def _in_use(home: Path) -> bool:
    try:
        with (home / _LOCK).open("rb+") as file:
            _take(file)
    except FileNotFoundError:
        return time.time() - home.stat().st_mtime < _NEW
    except OSError:
        return True
    return False


def _take(file: IO[bytes]) -> None:
    """Lock a file until it is closed.

    Raises:
        OSError: Another has locked it.
    """
    try:
        import fcntl
    except ImportError:
        _take_on_windows(file)
        return
    fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _take_on_windows(file: IO[bytes]) -> None:
    from importlib import import_module

    msvcrt = import_module("msvcrt")
    msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)


def _end(home: Path, held: IO[bytes]) -> None:
    held.close()
    shutil.rmtree(home, ignore_errors=True)


def _told(error: OSError, root: Path) -> FileError:
    return FileError(
        f"nothing can be put into the folder ({(error.strerror or str(error)).lower()})",
        where=str(root),
        remedy="Make room, or see that you may write there.",
    )
