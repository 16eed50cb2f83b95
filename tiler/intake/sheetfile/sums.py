"""A list of checksums, as ``sha256sum -c`` reads it."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator

from tiler.intake.sheetfile.names import shown
from tiler.pattern.errors import FileError

SUMS = "SHA256SUMS"
_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")


class Sums:
    """Checksums by the files' names."""

    def __init__(self, sums: dict[str, str]) -> None:
        self._sums = sums

    def __contains__(self, name: str) -> bool:
        return name in self._sums

    def __iter__(self) -> Iterator[str]:
        return iter(self._sums)

    def check(self, name: str, content: bytes) -> None:
        """See that a file is the one in the list.

        Raises:
            FileError: It is not.
        """
        if hashlib.sha256(content).hexdigest() != self._sums[name]:
            raise FileError(
                f"{shown(name)} inside it was changed: its checksum is another one",
                remedy="Nothing was written. Copy or download the file again.",
            )


def read_sums(content: bytes) -> Sums:
    """Read a list of checksums.

    Raises:
        FileError: It is none.
    """
    sums: dict[str, str] = {}
    for line in content.decode("utf-8", "replace").splitlines():
        found = _LINE.fullmatch(line)
        if found is None or found[2] in sums:
            raise FileError(f"its {SUMS} cannot be read", remedy="Copy or download it again.")
        sums[found[2]] = found[1]
    return Sums(sums)
