"""A DXF file opened by ezdxf, whatever goes wrong inside told as an error of our own."""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from contextlib import contextmanager

from ezdxf.document import Drawing
from ezdxf.filemanagement import read
from ezdxf.lldxf.const import DXFError

from tiler.intake.dxf.scan import scanned
from tiler.pattern.errors import BlocksheetError, DrawingError

# Without a handler of its own the library's remarks would be printed on standard error.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def opened(content: bytes, name: str) -> Drawing:
    """Read the structure of a DXF file.

    Args:
        content: The file's bytes.
        name: The file's name, for messages.

    Raises:
        DrawingError: Not ASCII DXF, cut short, too large, or not well formed.
    """
    text = scanned(content, name)
    with guarded(name):
        return read(io.StringIO(text))


@contextmanager
def guarded(where: str) -> Iterator[None]:
    """Turn every failure of the library inside into a DrawingError.

    A broken file may fail in any line of the library that trusts it, so that no list of exception
    types would be complete.

    Args:
        where: File and place, for the message.
    """
    try:
        yield
    except BlocksheetError:
        raise
    except Exception as bad:
        told = " ".join(str(bad).split()) if isinstance(bad, DXFError) else ""
        reason = (told or type(bad).__name__)[:160]
        raise DrawingError(
            f"the DXF structure is broken ({reason.rstrip('.')})",
            where=where,
            remedy='Save it again as ASCII DXF, release 12 or 13 ("DXF ASTM D6673").',
        ) from bad
