"""Boxes set into a strip of given width, from the top, each as high up as it goes."""

from __future__ import annotations

from collections.abc import Sequence


def packed(sizes: Sequence[tuple[float, float]], width: float) -> list[tuple[float, float]]:
    """The upper left corner of each box, as distances from the strip's left and top.

    Boxes are set in the order given. Each goes to the highest place at which its left side touches
    the strip's side or a box, the leftmost of two (the skyline heuristic: Baker, Coffman and
    Rivest, "Orthogonal packings in two dimensions", 1980, call it bottom-left).

    Args:
        sizes: Width and height of each box, gaps included; wider ones than the strip stand alone.
        width: Of the strip.
    """
    # Steps of the lower border of what is set, from left to right: where each starts, how low.
    steps: list[tuple[float, float]] = [(0.0, 0.0)]
    places = []
    for wide, high in sizes:
        left, down = _place(steps, min(wide, width), width)
        places.append((left, down))
        steps = _lowered(steps, left, left + wide, down + high)
    return places


def _place(steps: list[tuple[float, float]], wide: float, width: float) -> tuple[float, float]:
    tries = []
    for left, _ in steps:
        if left + wide <= width + 1e-6:
            tries.append((_depth(steps, left, left + wide), left))
    down, left = min(tries)
    return left, down


def _depth(steps: list[tuple[float, float]], left: float, right: float) -> float:
    """The lowest point of the border between two places."""
    ends = [start for start, _ in steps[1:]] + [float("inf")]
    return max(
        low
        for (start, low), end in zip(steps, ends, strict=True)
        if start < right - 1e-9 and end > left + 1e-9
    )


def _lowered(
    steps: list[tuple[float, float]], left: float, right: float, low: float
) -> list[tuple[float, float]]:
    before = [step for step in steps if step[0] < left - 1e-9]
    after = [step for step in steps if step[0] > right + 1e-9]
    at_right = [depth for start, depth in steps if start <= right + 1e-9][-1]
    return [*before, (left, low), (right, at_right), *after]
