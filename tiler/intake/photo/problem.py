"""Why a photo cannot be used, and where on it."""

from __future__ import annotations

from dataclasses import dataclass, field

from tiler.intake.photo.model import Points
from tiler.pattern.errors import BlocksheetError


@dataclass(frozen=True, eq=False)
class Spot:
    """A place to draw on a photo.

    Args:
        photo: Index of the photo.
        points: Pixels of a line or of the corners of an area, (n, 2); one point for a place.
        closed: Whether the points go round an area.
        label: A few words beside it; empty for none.
    """

    photo: int
    points: Points
    closed: bool = False
    label: str = ""


@dataclass(frozen=True, eq=False)
class TableSpot:
    """A place to draw on the flattened table; `points` in millimetres, else as in `Spot`."""

    points: Points
    closed: bool = False
    label: str = ""


class CaptureError(BlocksheetError):
    """A photo that cannot become a piece, with the places that show why.

    Args:
        spots: Places on photos.
        table_spots: Places on the table.
        code: A short fixed name, for scripts.
    """

    def __init__(
        self,
        problem: str,
        *,
        where: str = "",
        remedy: str = "",
        spots: tuple[Spot, ...] = (),
        table_spots: tuple[TableSpot, ...] = (),
        code: str = "",
    ) -> None:
        super().__init__(problem, where=where, remedy=remedy)
        self.spots = spots
        self.table_spots = table_spots
        self.code = code

    def within(self, place: str) -> CaptureError:
        """The same error, told from one level further out."""
        where = f"{place}, {self.where}" if self.where else place
        return CaptureError(
            self.problem,
            where=where,
            remedy=self.remedy,
            spots=self.spots,
            table_spots=self.table_spots,
            code=self.code,
        )


@dataclass(frozen=True, eq=False)
class Doubt:
    """Something seen on the way that does not stop the work, and where; becomes a finding."""

    code: str
    text: str
    spots: tuple[Spot, ...] = ()
    table_spots: tuple[TableSpot, ...] = ()


@dataclass
class Doubts:
    """Where steps leave their doubts."""

    found: list[Doubt] = field(default_factory=list)

    def add(
        self,
        code: str,
        text: str,
        *,
        table: tuple[TableSpot, ...] = (),
        spots: tuple[Spot, ...] = (),
    ) -> None:
        """One more; the same words are not said twice."""
        if all(doubt.text != text for doubt in self.found):
            self.found.append(Doubt(code, text, spots, table))
