"""Files as one ZIP file: the same files give the same bytes, wherever and whenever."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

#: The first moment that a ZIP file can tell (APPNOTE 6.3, 4.4.6): no time at all.
_NO_TIME = (1980, 1, 1, 0, 0, 0)
#: What a plain file is elsewhere: all may read it, its owner may write it (4.4.2, 4.4.15). It is
#: said on every system: where nothing is said (0), Info-ZIP's unzip 6 takes UTF-8 names for those
#: of an old code, and gives files that only their owner can read.
_UNIX, _PLAIN = 3, 0o100644 << 16
_LEVEL = 9
#: Formats that are packed already.
_PACKED = (".pdf", ".png")


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """A ZIP file of files only, in the order given.

    It tells no times and no owners, is the same on every system, and has no extra fields (APPNOTE
    6.3, 4.5). Names are UTF-8, and say so where they go beyond ASCII (4.4.4, bit 11).

    Args:
        files: Path with forward slashes -> content.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in files.items():
            entry = zipfile.ZipInfo(name, _NO_TIME)
            entry.create_system = _UNIX
            entry.external_attr = _PLAIN
            packed = name.lower().endswith(_PACKED)
            entry.compress_type = zipfile.ZIP_STORED if packed else zipfile.ZIP_DEFLATED
            archive.writestr(entry, content, compresslevel=_LEVEL)
    return out.getvalue()
