"""Writing patterns as DXF after ASTM D6673."""

from tiler.output.dxf.pattern import dxf_bytes

__all__ = ["dxf_bytes"]
