"""From a traced block to a piece that can be cut: all that the maker has asked for, in order."""

from __future__ import annotations

from dataclasses import replace

from tiler.drafting.cutlines import with_cut, with_stitch
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.grain import with_grain
from tiler.drafting.marking import with_marks
from tiler.drafting.notching import with_notches
from tiler.drafting.styles import with_shared_runs, with_styles
from tiler.intake.recall import Recall, afresh
from tiler.pattern.model import Finding, Pattern, Piece


def drafted(pattern: Pattern, recall: Recall = afresh) -> Pattern:
    """Carry out what is asked of every piece.

    Half pieces stay half, and edges keep the letters of the tracing. The order matters: darts
    change the stitch line, styles replace parts of it, the cut line lies outside of the stitch
    line, and marks stand on the cut line.

    Args:
        pattern: As read.
        recall: How each step is done.

    Returns:
        Pieces whose outlines are cut lines wherever the allowance is known, with their stitch
        rings; what was noticed is added to the pattern's findings.

    Raises:
        PatternError: Something that is asked for cannot be done; with piece, edge and place.
    """
    pieces: list[Piece] = []
    findings: list[Finding] = []
    for traced in pattern.pieces:
        name = traced.name
        stitched = recall(name, with_stitch, traced)
        piece, noticed = recall(name, with_darts, stitched)
        findings += noticed
        piece, noticed = recall(name, with_styles, piece)
        findings += noticed
        for step in (with_cut, with_shared_runs, with_marks):
            piece = recall(name, step, piece)
        pieces.append(with_grain(piece, stitched, recall))
    made = replace(pattern, pieces=tuple(pieces), findings=(*pattern.findings, *findings))
    return with_notches(made, recall)
