"""Hand-written DXF files: tags as a person would type them, none of them from our own writer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import pytest

from tiler.intake.dxf import read_dxf
from tiler.pattern.errors import DrawingError

Tag = tuple[int, object]


class Dxf:
    """Pieces of DXF text."""

    @staticmethod
    def tags(*tags: Tag) -> str:
        return "".join(f"{code}\n{value}\n" for code, value in tags)

    @classmethod
    def text(cls, words: str, layer: int | str = 1, at: Sequence[float] = (0, 0)) -> str:
        return cls.tags(
            (0, "TEXT"), (8, layer), (10, at[0]), (20, at[1]), (30, 0), (40, 0.2), (1, words)
        )

    @classmethod
    def line(cls, layer: int | str, a: Sequence[float], b: Sequence[float]) -> str:
        ends = ((10, a[0]), (20, a[1]), (30, 0), (11, b[0]), (21, b[1]), (31, 0))
        return cls.tags((0, "LINE"), (8, layer), *ends)

    @classmethod
    def point(cls, layer: int | str, at: Sequence[float]) -> str:
        return cls.tags((0, "POINT"), (8, layer), (10, at[0]), (20, at[1]), (30, 0))

    @classmethod
    def polyline(
        cls, layer: int | str, points: Iterable[Sequence[float]], closed: bool = True
    ) -> str:
        """Points are (x, y) or (x, y, bulge)."""
        text = cls.tags((0, "POLYLINE"), (8, layer), (66, 1), (70, int(closed)))
        for x, y, *bulge in points:
            text += cls.tags((0, "VERTEX"), (8, layer), (10, x), (20, y), (30, 0))
            text += cls.tags(*((42, b) for b in bulge))
        return text + cls.tags((0, "SEQEND"), (8, layer))

    @classmethod
    def block(cls, name: str, *parts: str) -> str:
        start = ((0, "BLOCK"), (8, 1), (2, name), (70, 0), (10, 0), (20, 0), (30, 0), (3, name))
        return cls.tags(*start) + "".join(parts) + cls.tags((0, "ENDBLK"), (8, 1))

    @classmethod
    def insert(cls, name: str, *more: Tag) -> str:
        return cls.tags((0, "INSERT"), (8, 1), (2, name), (10, 700), (20, 3), (30, 0), *more)

    @classmethod
    def file(cls, blocks: Iterable[str], entities: Iterable[str], header: str = "") -> bytes:
        text = cls.tags((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"))
        text += header + cls.tags((0, "ENDSEC"), (0, "SECTION"), (2, "BLOCKS"))
        text += "".join(blocks) + cls.tags((0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES"))
        return (text + "".join(entities) + cls.tags((0, "ENDSEC"), (0, "EOF"))).encode("cp1252")

    @classmethod
    def piece(cls, *parts: str, units: str = "METRIC", insert: Sequence[Tag] = ()) -> bytes:
        """A file of one block FRONT."""
        words = [cls.text(f"UNITS: {units}")] if units else []
        return cls.file([cls.block("FRONT", *parts)], [*words, cls.insert("FRONT", *insert)])


SQUARE = ((0, 0), (0, 100), (100, 100), (100, 0))


@pytest.fixture(scope="session")
def dxf() -> type[Dxf]:
    return Dxf


@pytest.fixture(scope="session")
def square() -> str:
    """A boundary of 100 units each way."""
    return Dxf.polyline(1, SQUARE)


@pytest.fixture(scope="session")
def refused() -> Callable[..., str]:
    """The message with which bytes are refused; it must name the file and each word asked for."""

    def refusing(content: bytes, *words: str) -> str:
        with pytest.raises(DrawingError) as caught:
            read_dxf(content, "smock.dxf")
        message = str(caught.value)
        assert message.startswith("smock.dxf"), message
        assert caught.value.remedy, message
        for word in words:
            assert word in message, message
        return message

    return refusing
