"""Deflated bytes unpacked, never more of them than agreed."""

from __future__ import annotations

import zlib

from pypdf.generic import ArrayObject, NullObject, StreamObject

from tiler.intake.files import MIB
from tiler.intake.sheetfile.objects import entry, solid

_BLANKS = b"\x00\t\n\x0c\r "
_DEFLATED = ("/FlateDecode", "/Fl")
#: The window of a deflated stream without head and checksum (RFC 1951), as zlib takes it.
RAW = -zlib.MAX_WBITS


class TooMuchError(ValueError):
    """There are more bytes than agreed."""


def inflated(packed: bytes, limit: int, window: int = zlib.MAX_WBITS) -> tuple[bytes, bytes]:
    """Unpack to the end of the deflated data.

    Args:
        packed: Deflated bytes.
        limit: The most bytes that may come out.
        window: As zlib takes it: RFC 1950 (with its checksum) unless it is `RAW`.

    Returns:
        What came out, and what stands behind the end.

    Raises:
        TooMuchError: More would come out.
        ValueError: The data is no such data, or ends too early.
    """
    unpacking = zlib.decompressobj(window)
    parts: list[bytes] = []
    left = limit
    try:
        while not unpacking.eof:
            part = unpacking.decompress(packed, min(MIB, left + 1))
            left -= len(part)
            if left < 0:
                raise TooMuchError("it unpacks to too much")
            parts.append(part)
            packed = unpacking.unconsumed_tail
            if not part and not packed:
                break
    except zlib.error as wrong:
        raise ValueError(str(wrong)) from None
    if not unpacking.eof:
        raise ValueError("what is packed ends too early")
    return b"".join(parts), unpacking.unused_data


def stream_content(stream: object, limit: int) -> bytes:
    """The bytes of a PDF's stream, which is deflated or not packed at all.

    Raises:
        TooMuchError: There are more than the limit.
        ValueError: It is no stream, is packed in another way, or does not end where it should.
    """
    if not isinstance(stream, StreamObject):
        raise ValueError("an embedded file is no stream")
    packed: bytes = stream._data
    filters = _plain(entry(stream, "/Filter"))
    parameters = _plain(entry(stream, "/DecodeParms"))
    if entry(stream, "/F") is not None or parameters or len(filters) > 1:
        raise ValueError("an embedded file is packed in an unusual way")
    if not filters:
        if len(packed) > limit:
            raise TooMuchError("it is too large")
        return packed
    if filters[0] not in _DEFLATED:
        raise ValueError("an embedded file is packed in an unusual way")
    content, behind = inflated(packed, limit)
    if behind.strip(_BLANKS):
        raise ValueError("an embedded file does not end where it should")
    return content


def _plain(found: object) -> list[object]:
    """One or several things as a list, without nulls."""
    several = list(list.__iter__(found)) if isinstance(found, ArrayObject) else [found]
    things = [solid(each) for each in several]
    return [each for each in things if each is not None and not isinstance(each, NullObject)]
