"""A photo or a scan of a tracing -> drawings of pieces, measured by cards that lie beside it."""
