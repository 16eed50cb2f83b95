"""Whose file is it: the title of a publication that is there already."""

from __future__ import annotations

import json
import logging
from pathlib import Path

from tiler.intake.sheetfile.carried import read_carried
from tiler.pattern.errors import BlocksheetError


def title_of(file: Path) -> str | None:
    """The title in a publication's record; None when there is no file or it is none of ours."""
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    if not file.is_file():
        return None
    quiet = logging.getLogger("pypdf")
    level = quiet.level
    quiet.setLevel(logging.CRITICAL)
    try:
        # Not strict: what a viewer has saved with a note on it is still somebody's file.
        root = PdfReader(file).root_object
        title = json.loads(read_carried(root, str(file)).record)["title"]
    except (
        BlocksheetError,
        PyPdfError,
        OSError,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        RecursionError,
    ):
        # Whatever it is, it is not a publication that anybody could want back.
        return None
    finally:
        quiet.setLevel(level)
    return title if isinstance(title, str) else None
