"""What a proof comes to, in numbers and in words."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tiler.pattern.model import Finding


@dataclass(frozen=True, slots=True)
class Fault:
    """Something on paper that is not as the pattern or the record says.

    Args:
        code: A short fixed name, for scripts.
        where: The page, or what else it is about; empty for the whole file.
        text: What is wrong, without a full stop.
        deviation: Millimetres, where a distance was measured.
    """

    code: str
    where: str
    text: str
    deviation: float | None = None

    def __str__(self) -> str:
        return f"{self.where}: {self.text}" if self.where else self.text


@dataclass(frozen=True, slots=True)
class Verdict:
    """The outcome of measuring one file.

    Args:
        file: The file that was measured.
        pages: Pages that carry the pattern; the first page, which has no lines, is not counted.
        pieces: Pieces that were found on the sheets.
        lines: Segments of the pattern (straight lines and cubic curves) that were measured.
        worst: The largest deviation in millimetres over all lines, pages and crosses.
        worst_where: Where it is, in words; empty when nothing was measured.
        faults: All that is not as it should be, by page.
        findings: What is good to know and is not a fault.
        tolerance: Millimetres that count as true to size.
    """

    file: Path
    pages: int
    pieces: int
    lines: int
    worst: float
    worst_where: str
    faults: tuple[Fault, ...]
    findings: tuple[Finding, ...] = ()
    tolerance: float = 0.05

    @property
    def proven(self) -> bool:
        """Whether every line is where the pattern says, within the tolerance."""
        return not self.faults and self.worst <= self.tolerance and self.lines > 0

    def sentences(self, limit: int = 20) -> list[str]:
        """The verdict for reading: one sentence when proven, else one for each fault.

        Args:
            limit: The most faults to spell out; the rest are counted.
        """
        size = f"{self.lines:,} {'line' if self.lines == 1 else 'lines'}"
        paper = f"{self.pages:,} {'page' if self.pages == 1 else 'pages'}"
        if self.proven:
            return [f"Proven: {size} on {paper}, worst deviation {millimetres(self.worst)}."]
        count = len(self.faults)
        faults = "1 fault" if count == 1 else f"{count:,} faults"
        told = [f"Not proven: {faults} in {size} on {paper}."]
        if self.worst_where:
            told.append(f"Worst deviation: {millimetres(self.worst)}, {self.worst_where}.")
        told += [f"{fault}." for fault in self.faults[:limit]]
        if count > limit:
            told.append(f"And {count - limit:,} more.")
        return told


def millimetres(length: float) -> str:
    """A deviation for reading, fine enough to tell 0.5 µm from nothing."""
    if length < 0.00005:
        return "less than 0.0001 mm"
    return f"{length:.4f} mm" if length < 0.01 else f"{length:.3f} mm"
