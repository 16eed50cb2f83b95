"""The user's folder of patterns; no path leads out of it."""

from __future__ import annotations

import re
from pathlib import Path

from tiler.pattern.errors import FileError

PATTERN_FILE = "pattern.toml"
_PLAIN = re.compile(r"[^/\\\x00-\x1f\x7f]{1,120}")


class Library:
    """A folder whose children are pattern folders.

    Args:
        root: The folder; one that is a pattern folder itself is a library of that one pattern.
    """

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self.alone = (self.root / PATTERN_FILE).is_file()

    def keys(self) -> tuple[str, ...]:
        """Names of the pattern folders, in the order of the alphabet."""
        if self.alone:
            return (self.root.name,)
        found = (self.root / name for name in sorted(self.names(), key=str.casefold))
        return tuple(path.name for path in found if self._holds(path))

    def names(self) -> list[str]:
        """All names that are taken in the folder.

        Raises:
            FileError: It cannot be read.
        """
        try:
            return [path.name for path in self.root.iterdir()]
        except OSError as error:
            raise FileError(
                f"the folder cannot be read ({(error.strerror or str(error)).lower()})",
                where=str(self.root),
                remedy="Start the studio with another folder.",
            ) from error

    def folder(self, key: str) -> Path:
        """The pattern folder of that name.

        Raises:
            FileError: There is none.
        """
        if self.alone and key == self.root.name:
            return self.root
        path = self.root / key
        if self.alone or not is_plain(key) or not self._holds(path):
            raise FileError(
                f"there is no pattern called {key!r} in this folder",
                where=str(self.root),
                remedy="Go back to the shelf and choose one that is there.",
            )
        return path

    def new_folder(self, key: str) -> Path:
        """Where a new pattern of that name goes.

        Raises:
            FileError: The name is no plain name, or it is taken.
        """
        if self.alone:
            raise FileError(
                "this folder is a pattern itself, and takes no others",
                where=str(self.root),
                remedy="Start the studio with the folder above it.",
            )
        path = self.root / key
        if not is_plain(key) or key.startswith("."):
            raise FileError(f"{key!r} cannot be the name of a folder", remedy="Use plain letters.")
        if path.exists() or path.is_symlink():
            raise FileError(
                f"there is something called {key!r} already",
                where=str(self.root),
                remedy="Choose another name.",
            )
        return path

    def file(self, key: str, part: str, name: str) -> Path:
        """A file that was made for a pattern: `name` in the folder `part` of the pattern folder.

        Raises:
            FileError: There is no such file, or it lies elsewhere.
        """
        folder = self.folder(key)
        path = folder / part / name
        inside = is_plain(part) and is_plain(name) and path.is_file()
        if not inside or not path.resolve().is_relative_to(folder.resolve()):
            raise FileError(f"there is no file called {name!r}", remedy="Make it again.")
        return path

    def refuse_led_out(self, key: str, part: str) -> None:
        """See that what is made for a pattern stays in its folder.

        Raises:
            FileError: The folder `part` in it is a link.
        """
        path = self.folder(key) / part
        if path.is_symlink():
            raise FileError(
                "this is a link to another place, and nothing is put there",
                where=str(path),
                remedy="Remove the link; a folder is made in its place.",
            )

    def _holds(self, path: Path) -> bool:
        return (
            not path.name.startswith(".")
            and not path.is_symlink()
            and path.is_dir()
            and (path / PATTERN_FILE).is_file()
        )


def is_plain(name: str) -> bool:
    """Whether a name leads nowhere else."""
    return bool(_PLAIN.fullmatch(name)) and name not in (".", "..")
