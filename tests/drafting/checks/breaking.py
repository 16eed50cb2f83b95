"""Copies of the demo patterns with one thing wrong."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from tiler.job import locate, read
from tiler.pattern.model import Pattern

#: The file, what is looked for (a regular expression), and what stands there instead.
Edit = tuple[str, str, str]


def broken_folder(demo: str, folder: Path, *edits: Edit) -> Path:
    """A copy of a demo's folder with some text replaced; every edit must find its place."""
    place = folder / demo
    shutil.copytree(locate(Path(f"demo:{demo}")), place)
    for name, old, new in edits:
        file = place / name
        text, count = re.subn(old, lambda _, new=new: new, file.read_text("utf-8"), count=1)
        assert count == 1, f"{old!r} is not in {name}"
        file.write_text(text, "utf-8")
    return place


def broken(demo: str, folder: Path, *edits: Edit) -> Pattern:
    """The broken copy, read and drafted."""
    return read(broken_folder(demo, folder, *edits))
