"""A flat scan's view of the table: no lens, so as many pixels a millimetre everywhere."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.model import Numbers, Points


@dataclass(frozen=True, slots=True)
class ScanCamera:
    """One strip on the scanner.

    Args:
        per_mm: Pixels a millimetre along the photo's x and y; the carriage's drive and the sensor
            need not agree.
        turn: Of the table on the glass, radians anticlockwise.
        shift: Pixels where the table's origin shows.
    """

    per_mm: tuple[float, float]
    turn: float
    shift: tuple[float, float]

    @property
    def centre(self) -> tuple[float, float, float] | None:
        """None: it looks from everywhere straight down."""
        return None

    def _matrix(self) -> Numbers:
        c, s = math.cos(self.turn), math.sin(self.turn)
        across, down = self.per_mm
        return np.array([[across * c, -across * s], [-down * s, -down * c]])

    def to_photo(self, on_table: Points) -> Points:
        """Pixels of points of the table."""
        return np.asarray(on_table @ self._matrix().T + self.shift)

    def to_table(self, in_photo: Points) -> Points:
        """The points of the table that pixels show."""
        return np.asarray((in_photo - self.shift) @ np.linalg.inv(self._matrix()).T)
