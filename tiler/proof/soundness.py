"""Whether a PDF is whole: nothing in it that one reader would mend and another leave out."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator

from pypdf import PdfReader
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    PdfObject,
    StreamObject,
)

from tiler.intake.files import MIB
from tiler.intake.sheetfile.objects import entry
from tiler.pattern.errors import FileError
from tiler.proof.tokens import object_end

OBJECT_LIMIT = 100_000
#: All streams together, unpacked.
STREAM_LIMIT = 512 * MIB
_BEGIN = re.compile(rb"[\s\x00]*(\d{1,10})[\s\x00]+(\d{1,5})[\s\x00]+obj(?![A-Za-z0-9])")
_LINE_END = re.compile(rb"\r?\n")
_END = re.compile(rb"[\s\x00]*endstream[\s\x00]+endobj(?![A-Za-z0-9])")
_BLANKS = b"\x00\t\n\x0c\r "


def check_objects(reader: PdfReader, content: bytes) -> None:
    """Read every object of a file, used or not, and unpack every stream to its end.

    Args:
        reader: A strict reader, which raises on every object that is not where it should be.
        content: The file that it reads.

    Raises:
        FileError: The file holds more than a publication could.
        ValueError: Something is missing, or ends too early.
    """
    known = {(number, 0) for number in reader.xref_objStm}
    for generation, numbers in reader.xref.items():
        known |= {(number, generation) for number in numbers}
    if len(known) > OBJECT_LIMIT:
        raise _too_large(f"it has more than {OBJECT_LIMIT:,} objects")
    left = STREAM_LIMIT
    for number, generation in [(0, 0), *sorted(known)]:
        # In the place of object 0, which there never is, the trailer.
        held = IndirectObject(number, generation, reader)
        found = reader.get_object(held) if number else reader.trailer
        offset = reader.xref.get(generation, {}).get(number)
        if number and offset is not None:
            _check_written(content, offset, number, generation, found)
        for part in _parts(found):
            if isinstance(part, IndirectObject) and (part.idnum, part.generation) not in known:
                raise ValueError(f"object {part.idnum} {part.generation} is missing")
            if isinstance(part, StreamObject):
                left -= _unpacked(part, left, number)


def _check_written(
    content: bytes, offset: int, number: int, generation: int, found: object
) -> None:
    """Whether an object is written by the rules, of which pypdf overlooks many."""
    begin = _BEGIN.match(content, offset)
    if begin is None or (int(begin[1]), int(begin[2])) != (number, generation):
        raise ValueError(f"object {number} {generation} does not begin where it should")
    try:
        word, position = object_end(content, begin.end())
    except FileError:
        word, position = b"", 0
    right = word == b"endobj"
    if word == b"stream" and isinstance(found, StreamObject):
        line = _LINE_END.match(content, position)
        right = line is not None and bool(_END.match(content, line.end() + len(found._data)))
    if not right:
        raise ValueError(f"object {number} {generation} is not written as an object is")


def _parts(found: PdfObject | None) -> Iterator[object]:
    """An object and all that stands inside it, up to other objects."""
    waiting: list[object] = [found]
    while waiting:
        part = waiting.pop()
        yield part
        if isinstance(part, DictionaryObject):
            waiting += [part.raw_get(key) for key in part]
        elif isinstance(part, ArrayObject):
            waiting += list.__iter__(part)


def _unpacked(stream: StreamObject, limit: int, number: int) -> int:
    """How many bytes a deflated stream unpacks to (RFC 1950: its checksum stands at its end)."""
    filters = entry(stream, "/Filter")
    name = filters[0] if isinstance(filters, ArrayObject) and len(filters) else filters
    if name not in ("/FlateDecode", "/Fl"):
        return 0
    packed = stream._data
    unpacking, size = zlib.decompressobj(), 0
    while not unpacking.eof:
        part = unpacking.decompress(packed, MIB)
        size += len(part)
        if size > limit:
            raise _too_large(f"it unpacks to more than {STREAM_LIMIT // MIB} MiB")
        packed = unpacking.unconsumed_tail
        if not part and not packed:
            break
    if not unpacking.eof or unpacking.unused_data.strip(_BLANKS):
        raise ValueError(f"the stream of object {number} does not end where it should")
    return size


def _too_large(problem: str) -> FileError:
    return FileError(problem, remedy="This is no publication of an ordinary pattern.")
