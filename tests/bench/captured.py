"""One capture in a process of its own, so that its time and memory can be told."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

#: A line and whether it is closed.
Line = tuple[NDArray[np.float64], bool]


@dataclass(frozen=True)
class Outcome:
    """What came of it.

    Args:
        outlines: Of all pieces, on the table, with the style of each.
        stated: The stated p95, millimetres.
        worst: The stated largest deviation, millimetres.
        doubts: Their codes.
        refused: Code and sentence where it was refused; empty where not.
        seconds: CPU time.
        peak: MiB of memory.
    """

    outlines: tuple[tuple[Line, str], ...] = ()
    stated: float = float("nan")
    worst: float = float("nan")
    doubts: tuple[str, ...] = ()
    refused: str = ""
    seconds: float = 0.0
    peak: float = 0.0


def captured(files: Sequence[Path], bars: tuple[float | None, float | None]) -> Outcome:
    """What `blocksheet capture` makes of photos, in a new process.

    Args:
        files: The photos.
        bars: What the bars beside the cards measure, across and up, millimetres.
    """
    context = get_context("spawn")
    here, there = context.Pipe(duplex=False)
    worker = context.Process(target=_send, args=(there, [str(file) for file in files], bars))
    worker.start()
    there.close()
    try:
        outcome: Outcome = here.recv()
    except EOFError:
        worker.join()
        return Outcome(refused=f"the process ended with {worker.exitcode}")
    worker.join()
    return outcome


def _send(out: Connection, files: Sequence[str], bars: tuple[float | None, float | None]) -> None:
    out.send(_capture([Path(file) for file in files], bars))
    out.close()


def _capture(files: Sequence[Path], bars: tuple[float | None, float | None]) -> Outcome:
    from tiler.intake.photo.capture import capture
    from tiler.intake.photo.lines.sorting import Asked
    from tiler.intake.photo.picture import read_photo
    from tiler.intake.photo.problem import CaptureError
    from tiler.job.printedcards import printed_cards
    from tiler.pattern.errors import BlocksheetError

    outcome = Outcome()
    try:
        printed, _ = printed_cards(*bars, division=1.0)
        photos = [read_photo(file.name, file.read_bytes()) for file in files]
        got = capture(photos, printed, Asked())
    except BlocksheetError as error:
        code = error.code if isinstance(error, CaptureError) else type(error).__name__
        outcome = Outcome(refused=f"{code}: {error}")
    else:
        outlines = []
        for drawing, to_table in zip(got.drawings, got.to_table, strict=True):
            for drawn in drawing.paths:
                if drawn.role is None and not drawn.corner:
                    path = drawn.path.moved(to_table)
                    spots = np.array([(spot.x, spot.y) for spot in path.flattened(0.01)])
                    outlines.append(((spots, path.closed), drawn.style))
        outcome = Outcome(
            tuple(outlines),
            got.accuracy.p95,
            got.accuracy.worst,
            tuple(doubt.code for doubt in got.doubts),
        )
    return Outcome(
        outcome.outlines,
        outcome.stated,
        outcome.worst,
        outcome.doubts,
        outcome.refused,
        time.process_time(),
        _peak_mib(),
    )


def _peak_mib() -> float:
    """The most memory that this process held since it began (proc(5), VmHWM)."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1024
    return float("nan")
