"""The files that a publication carries inside: its record and its pattern."""

from __future__ import annotations

from dataclasses import dataclass

from pypdf.generic import ArrayObject, ByteStringObject, DictionaryObject, TextStringObject

from tiler.pattern.errors import FileError
from tiler.pattern.model import Source
from tiler.proof.resources import entry, solid

RECORD = "blocksheet.json"
_MIB = 1024 * 1024
_RECORD_LIMIT = 16 * _MIB
_SOURCES_LIMIT = 256 * _MIB
_DEEPEST = 16
_MOST_FILES = 10_000


@dataclass(frozen=True, slots=True)
class Carried:
    """What the publication carries.

    Args:
        record: The bytes of the record.
        sources: The pattern's own files, sorted by name.
    """

    record: bytes
    sources: tuple[Source, ...]


def read_carried(root: DictionaryObject, where: str) -> Carried:
    """Find the record and the pattern's files among the embedded files.

    Raises:
        FileError: There is no record, or a file is there twice or too large.
    """
    record: bytes | None = None
    sources: dict[str, bytes] = {}
    total = 0
    for spec in _file_specs(entry(entry(root, "/Names"), "/EmbeddedFiles")):
        name = _text(entry(spec, "/UF")) or _text(entry(spec, "/F"))
        is_record = name == RECORD
        if not is_record and entry(spec, "/AFRelationship") != "/Source":
            continue
        held = entry(spec, "/EF")
        stream = entry(held, "/UF") or entry(held, "/F")
        content = bytes(stream.get_data())
        total += len(content)
        if total > _SOURCES_LIMIT or (is_record and len(content) > _RECORD_LIMIT):
            raise FileError(
                "the files inside it are too large",
                where=where,
                remedy="This is no publication of an ordinary pattern.",
            )
        if name in sources or (is_record and record is not None):
            raise FileError(
                f"it carries {name!r} twice", where=where, remedy="Publish the pattern again."
            )
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
    return Carried(record, tuple(Source(name, sources[name]) for name in sorted(sources)))


def _file_specs(tree: object) -> list[DictionaryObject]:
    """The file specifications of a name tree (ISO 32000-1, 7.9.6)."""
    found: list[DictionaryObject] = []
    level = [tree]
    for _ in range(_DEEPEST):
        below: list[object] = []
        for node in level:
            names = entry(node, "/Names")
            if isinstance(names, ArrayObject):
                specs = [solid(spec) for spec in list(list.__iter__(names))[1::2]]
                found += [spec for spec in specs if isinstance(spec, DictionaryObject)]
            kids = entry(node, "/Kids")
            if isinstance(kids, ArrayObject):
                below += [solid(kid) for kid in list.__iter__(kids)]
            if len(found) > _MOST_FILES or len(below) > _MOST_FILES:
                raise ValueError("the tree of embedded files does not end")
        level = below
        if not level:
            return found
    raise ValueError("the tree of embedded files does not end")


def _text(found: object) -> str:
    if isinstance(found, ByteStringObject):
        return found.decode("utf-8", "replace")
    return str(found) if isinstance(found, TextStringObject) else ""
