"""The two words of a publication's record that tell which pattern it is."""

from __future__ import annotations

import json
from dataclasses import dataclass

from tiler.pattern.errors import FileError

#: The newest format of a record that is known; those before tell title and digest the same way.
NEWEST = 3
_LONGEST = 500


@dataclass(frozen=True, slots=True)
class Told:
    """What a record says of its pattern.

    Args:
        title: Of the pattern.
        digest: Of the pattern's files.
    """

    title: str
    digest: str


def told_by(record: bytes, where: str) -> Told:
    """Title and digest, in whichever known format the rest of the record is.

    Raises:
        FileError: It is no record, of a later format, or of something else than a pattern.
    """
    try:
        said = json.loads(record)
    except (ValueError, RecursionError) as wrong:
        raise _refused(f"its record is no JSON ({str(wrong)[:80]})", where) from None
    said = said if isinstance(said, dict) else {}
    title, digest = said.get("title"), said.get("digest")
    if said.get("kind") == "calibration page":
        raise FileError(
            "this is a calibration page, which carries no pattern",
            where=where,
            remedy="Give the PDF with the sheets.",
        )
    if said.get("kind") == "target cards":
        raise FileError(
            "these are target cards, which carry no pattern",
            where=where,
            remedy="Give the PDF with the sheets.",
        )
    for text in (title, digest):
        if not isinstance(text, str) or not text or len(text) > _LONGEST:
            raise _refused("its record does not say which pattern it is of", where)
    _refuse_later(said.get("format"), where)
    return Told(_printable(str(title)), _printable(str(digest)))


def _refuse_later(version: object, where: str) -> None:
    if version is None:
        return  # that of a projector's pictures has no formats
    if not isinstance(version, int) or isinstance(version, bool):
        raise _refused("its record does not say in which format it is", where)
    if version > NEWEST:
        raise FileError(
            f"its record is of format {version:.4g}, and this version of Blocksheet knows those "
            f"up to {NEWEST}",
            where=where,
            remedy="Open it with a newer version.",
        )


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)


def _refused(problem: str, where: str) -> FileError:
    return FileError(
        problem, where=where, remedy="Give a PDF that was written by blocksheet and not changed."
    )
