"""Proof: a written PDF is read back and measured, line by line, against its pattern.

Nothing here knows how the file was written. The pages are put together by the registration
crosses that they print, as a person with scissors and tape would do it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tiler.proof.verdict import Fault, Verdict

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern

__all__ = ["Fault", "Verdict", "prove"]


def prove(
    pdf: Path,
    pattern: Pattern | None = None,
    *,
    tolerance: float = 0.05,
    on_paper: bool = True,
) -> Verdict:
    """Measure every line of a publication against the pattern.

    Args:
        pdf: The publication.
        pattern: What to measure against; None for the pattern that the file carries inside.
        tolerance: Largest deviation in millimetres that counts as true to size.
        on_paper: Whether `pattern` is as the sheets show it. Otherwise it is drafted only, and is
            brought to paper with the styles that the file says were chosen.

    Returns:
        The verdict; `proven` when there is no fault and no deviation over the tolerance.

    Raises:
        FileError: The file cannot be read, is damaged, locked, too large or no publication.
        NotProvenError: It is a publication, but what it says of itself cannot be followed.
        BlocksheetError: The pattern inside the file cannot be read.
    """
    # Only here: reading a PDF brings heavy libraries along.
    from tiler.proof.proving import prove_file

    return prove_file(pdf, pattern, tolerance=tolerance, on_paper=on_paper)
