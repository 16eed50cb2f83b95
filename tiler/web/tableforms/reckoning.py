"""How wide a dart is by three readings off a checked cloth, while they are typed."""

from __future__ import annotations

from starlette.responses import Response

from tiler.drafting.darts.check import CheckIntake, intake_from_check
from tiler.pattern.errors import BlocksheetError
from tiler.web.asking import Asked, answers
from tiler.web.lengths import typed_length


@answers("tableforms")
def reckoned(asked: Asked) -> Response:
    """The intake, and how sure it is; or what is missing."""
    flat, sewn, repeats = (asked.query(name).strip() for name in ("flat", "sewn", "repeats"))
    found: CheckIntake | None = None
    wrong: BlocksheetError | None = None
    if flat and sewn and repeats.isdecimal() and len(repeats) < 4:
        units = asked.settings.units
        try:
            count = int(repeats)
            # As the drafter takes it: both are readings over all the checks, divided.
            found = intake_from_check(
                typed_length(flat, units),
                typed_length(sewn, units),
                count,
                flat_over=max(count, 1),
                sewn_over=max(count, 1),
            )
        except BlocksheetError as error:
            wrong = error
    return asked.show("tableformreckoned.html", id=asked.query("id"), found=found, error=wrong)
