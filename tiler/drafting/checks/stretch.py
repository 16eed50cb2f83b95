"""A block traced from cloth that stretches does not fit cloth that does not."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.cutting import is_backing
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.pattern.model import Severity

#: Shares of stretch that differ by less are one kind of cloth: a hand-held stretch test reads no
#: finer. Our choice.
ALIKE = 0.05
#: The girth (millimetres) that sentences take for an example.
GIRTH = 1000.0


def negative_ease(stretch: float) -> float:
    """The largest share by which a garment may be smaller than the body: 1 - 1 / (1 + s).

    Cloth of length L that stretches by the share s reaches L (1 + s). To reach a body B, L is
    B / (1 + s) at the least: a share of 1 - 1 / (1 + s) smaller.

    Args:
        stretch: 0.25 for 25 %.
    """
    return 1 - 1 / (1 + stretch)


def stretches(bench: Bench) -> Iterator[Fault]:
    """Compare the stretch of the traced garment's cloth with that of the cloths to be cut."""
    pattern = bench.pattern
    traced = pattern.traced_stretch
    said = dict(pattern.cloth_stretch)
    pieces: dict[str, list[str]] = {}
    for piece in pattern.pieces:
        for cut in piece.cuts:
            if cut.cloth and not is_backing(cut.cloth):
                pieces.setdefault(cut.cloth, []).append(piece.name)
    for cloth, names in pieces.items():
        subject = f"cloth {cloth}"
        own = said.get(cloth)
        if traced is None and own is None:
            continue
        if traced is None or own is None:
            yield _unsaid(subject, traced is None)
            continue
        if abs(traced - own) < ALIKE:
            continue
        was, now = negative_ease(traced), negative_ease(own)
        spots = tuple(
            Spot(name, paths=(bench.piece(name).outlines[0].path,)) for name in dict.fromkeys(names)
        )
        numbers = {
            "traced_share": traced,
            "cloth_share": own,
            "traced_negative_ease_share": was,
            "cloth_negative_ease_share": now,
            "per_metre_mm": (was - now) * GIRTH,
        }
        much = both(abs(was - now) * GIRTH)
        begins = (
            f"The block was traced from cloth that stretches {traced:.0%}, and {cloth} stretches "
            f"{own:.0%}. "
        )
        if traced > own:
            yield Fault(
                "stretch-missing",
                Severity.ERROR,
                subject,
                begins + f"The traced garment may be up to {was:.1%} smaller than the body, this "
                f"cloth {f'{now:.1%}' if now else 'not at all'}: up to {much} are missing on a "
                f"girth of {both(GIRTH)}, and the ease to move in besides.",
                f"Take cloth that stretches {traced:.0%}, or draw the block anew with ease. "
                "Widening it evenly is no help: darts and an opening may be needed too.",
                numbers=numbers,
                spots=spots,
            )
        else:
            yield Fault(
                "stretch-added",
                Severity.WARNING,
                subject,
                begins + f"The garment comes out too wide: it could be up to {much} smaller on a "
                f"girth of {both(GIRTH)}, and seams across the stretch will grow when worn.",
                f"Take cloth that stretches no more than {traced:.0%}, or draw a block for this "
                "cloth.",
                numbers=numbers,
                spots=spots,
            )


def _unsaid(subject: str, traced: bool) -> Fault:
    what = "the traced garment's cloth" if traced else "this cloth"
    words = 'traced_stretch = "0 %"' if traced else '[stretch] with a line such as main = "0 %"'
    return Fault(
        "stretch-unsaid",
        Severity.NOTE,
        subject,
        f"It is not said how far {what} stretches, so whether the block suits it is not known.",
        f"Add {words}: pull 100 mm and read how many millimetres it gains.",
    )
