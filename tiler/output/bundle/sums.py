"""Checksums, as ``sha256sum -c`` and ``shasum -a 256 -c`` read them."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping


def sums_of(files: Mapping[str, bytes]) -> bytes:
    """A line for each file: its SHA-256 (FIPS 180-4), two blanks, its path."""
    lines = (f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))
    return "".join(lines).encode()
