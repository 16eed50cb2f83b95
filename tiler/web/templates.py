"""The pages' templates."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

HTML = Path(__file__).parent / "html"
STATIC = Path(__file__).parent / "static"


@cache
def environment() -> Environment:
    """All that is filled in is quoted, and what is not known is an error."""
    from tiler.web.asking import url

    found = Environment(
        loader=FileSystemLoader(HTML),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals["url"] = url
    return found
