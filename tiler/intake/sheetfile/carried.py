"""The files that a published PDF carries inside: its record and its pattern."""

from __future__ import annotations

from dataclasses import dataclass

from pypdf.generic import ArrayObject, ByteStringObject, DictionaryObject, TextStringObject

from tiler.intake.sheetfile.inflating import TooMuchError, stream_content
from tiler.intake.sheetfile.limits import (
    MOST_FILES,
    RECORD_LIMIT,
    SOURCE_LIMIT,
    SOURCES_LIMIT,
    too_much,
)
from tiler.intake.sheetfile.objects import entry, solid
from tiler.pattern.errors import FileError
from tiler.pattern.model import Source

RECORD = "blocksheet.json"
_DEEPEST = 16


@dataclass(frozen=True, slots=True)
class Carried:
    """What the publication carries.

    Args:
        record: The bytes of the record.
        sources: The pattern's own files, sorted by name.
        others: How many files it holds that are neither.
    """

    record: bytes
    sources: tuple[Source, ...]
    others: int = 0


def read_carried(root: DictionaryObject, where: str) -> Carried:
    """Find the record and the pattern's files among the embedded files.

    Only files that say that they are the source of the document (ISO 32000-2, 14.13) belong to
    the pattern; whatever else is attached is not unpacked.

    Raises:
        FileError: There is no record, or a file is there twice or too large.
        ValueError: The tree of files has no end, or a file is damaged.
    """
    record: bytes | None = None
    sources: dict[str, bytes] = {}
    left, others = SOURCES_LIMIT, 0
    for spec in _file_specs(entry(entry(root, "/Names"), "/EmbeddedFiles")):
        name = _text(entry(spec, "/UF")) or _text(entry(spec, "/F"))
        is_record = name == RECORD
        if not is_record and entry(spec, "/AFRelationship") != "/Source":
            others += 1
            continue
        if name in sources or (is_record and record is not None):
            raise FileError(
                f"it carries {name!r} twice", where=where, remedy="Publish the pattern again."
            )
        held = entry(spec, "/EF")
        stream = entry(held, "/UF") or entry(held, "/F")
        try:
            content = stream_content(stream, min(RECORD_LIMIT if is_record else SOURCE_LIMIT, left))
        except TooMuchError:
            raise too_much("the files inside it are too large", where) from None
        left -= len(content)
        if is_record:
            record = content
        else:
            sources[name] = content
    if record is None:
        raise FileError(
            "this PDF has no Blocksheet record, so it is not known what should be on its pages",
            where=where,
            remedy="Give a PDF that was written by blocksheet and not changed since.",
        )
    return Carried(record, tuple(Source(name, sources[name]) for name in sorted(sources)), others)


def _file_specs(tree: object) -> list[DictionaryObject]:
    """The file specifications of a name tree (ISO 32000-1, 7.9.6)."""
    found: list[DictionaryObject] = []
    level = [tree]
    for _ in range(_DEEPEST):
        below: list[object] = []
        for node in level:
            names = entry(node, "/Names")
            if isinstance(names, ArrayObject):
                if len(names) // 2 + len(found) > MOST_FILES:
                    raise too_much(f"it holds more than {MOST_FILES:,} files")
                specs = [solid(spec) for spec in list(list.__iter__(names))[1::2]]
                found += [spec for spec in specs if isinstance(spec, DictionaryObject)]
            kids = entry(node, "/Kids")
            if isinstance(kids, ArrayObject):
                if len(kids) + len(below) > MOST_FILES:
                    raise ValueError("the tree of embedded files does not end")
                below += [solid(kid) for kid in list.__iter__(kids)]
        level = below
        if not level:
            return found
    raise ValueError("the tree of embedded files does not end")


def _text(found: object) -> str:
    if isinstance(found, ByteStringObject):
        return found.decode("utf-8", "replace")
    return str(found) if isinstance(found, TextStringObject) else ""
