"""The libraries that read photos come with an extra; who lacks them is told how to get them."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec

from tiler.pattern.errors import BlocksheetError

_MODULES = ("cv2", "scipy", "skimage", "PIL")


def refuse_without_libraries() -> None:
    """See that the libraries for photos are there, before anything else is done.

    Raises:
        BlocksheetError: One of them is missing.
    """
    for name in _MODULES:
        try:
            import_module(name)
        except ImportError:
            raise BlocksheetError(
                "photos cannot be read yet: the libraries for it are not installed",
                remedy='Install them with pip install "blocksheet[photo]" and try again.',
            ) from None


def missing_libraries() -> bool:
    """Whether one of them is not installed; none is loaded, which takes a while."""
    return any(find_spec(name) is None for name in _MODULES)
