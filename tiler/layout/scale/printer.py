"""A printer as its owner has measured it, and the map that makes up for its error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.pattern.affine import Affine
from tiler.pattern.errors import MeasureError
from tiler.pattern.tolerance import PRINT_COMPENSABLE, PRINT_TRUE

if TYPE_CHECKING:
    from tiler.layout.tiles import PageSetup


@dataclass(frozen=True)
class Printer:
    """What one printer makes of a millimetre.

    The directions are those of the paper, which runs through a printer the same way whatever is
    printed on it: `across` is along its short side, `up` along its long side.

    Args:
        name: The owner's own word for it.
        across: Printed length over wanted length along the paper's short side; 1.003 prints 0.3 %
            too large.
        up: The same along the long side.
        across_pm: Half-width of the interval that holds `across` with 95 %.
        up_pm: The same for `up`.
        paper: The paper on which it was measured.
        margin: How near to the edge of the paper it prints, millimetres; None when not measured.

    Raises:
        MeasureError: A scale that no printer has, a half-width below nothing, or a margin that is
            none.
    """

    name: str
    across: float
    up: float
    across_pm: float
    up_pm: float
    paper: str
    margin: float | None = None

    def __post_init__(self) -> None:
        numbers = (self.across, self.up, self.across_pm, self.up_pm, self.margin or 0.0)
        if (
            not all(math.isfinite(number) for number in numbers)
            or not 0.1 < min(self.across, self.up) <= max(self.across, self.up) < 10
            or min(self.across_pm, self.up_pm) < 0
        ):
            raise MeasureError(
                f"a scale of {self.across:g} across and {self.up:g} up is no printer's",
                where=f"printer {self.name}",
                remedy="Measure it again with: blocksheet scale",
            )
        if self.margin is not None and not 0 <= self.margin <= 100:
            raise MeasureError(
                f"a margin of {self.margin:g} mm is not between 0 and 100 mm",
                where=f"printer {self.name}",
                remedy="Read the margin finder again.",
            )

    @property
    def can_be_made_up_for(self) -> bool:
        """Whether it is off by no more than a printer in order can be."""
        return max(abs(self.across - 1), abs(self.up - 1)) <= PRINT_COMPENSABLE.share + 1e-9

    @property
    def is_true(self) -> bool:
        """Whether it prints at true size within the tolerance, so that nothing need be made up."""
        return max(abs(self.across - 1), abs(self.up - 1)) <= PRINT_TRUE.share + 1e-9

    def compensation(self, setup: PageSetup) -> Affine:
        """The map from a wanted page to the one to be sent, about the middle of the paper.

        A length w is sent as w / s and printed as s w / s = w. On a landscape page the paper is
        still fed the same way, so that its long side, which lies across the page, gets `up`.

        Args:
            setup: The page; page coordinates.
        """
        across, up = (self.up, self.across) if setup.landscape else (self.across, self.up)
        middle = (setup.width / 2, setup.height / 2)
        shrink = Affine.scale(1 / across, 1 / up)
        return Affine.move(-middle[0], -middle[1]).then(shrink).then(Affine.move(*middle))
