"""Reading pattern pieces from DXF after ASTM D6673."""

from __future__ import annotations

from tiler.pattern.model import Pattern


def read_dxf(content: bytes, name: str) -> Pattern:
    """Read a pattern from an ASCII DXF file; see `tiler.intake.dxf.reader`.

    Args:
        content: The file's bytes.
        name: The file's name, for messages, and the title when the file has none.

    Raises:
        DrawingError: Not such a file, one without a unit, or a piece without one closed boundary.
    """
    # Only here: ezdxf is heavy, and writing needs no more than the layers of this package.
    from tiler.intake.dxf import reader

    return reader.read_dxf(content, name)
