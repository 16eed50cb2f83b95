"""Lines that no page shows, and pieces that no pages taped together show whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.model import Finding, Severity
from tiler.proof.expected import Expected
from tiler.proof.geometry import Floats, Ints, box_window, grown_window, moved_window, sizes
from tiler.proof.record import Record
from tiler.proof.verdict import Fault, millimetres

#: What is left out of a line by less than this is not missed, mm.
GAP = 0.02
_MOST_NAMES = 4


@dataclass(frozen=True, slots=True)
class Seen:
    """The parts of the pattern in the windows of the pages.

    Args:
        page: For each part, the index of its page in the record.
        chord: For each part, the chord that it is of.
        low: For each part, the parameter of the chord where it starts.
        high: For each part, the parameter where it ends.
    """

    page: Ints
    chord: Ints
    low: Floats
    high: Floats

    def lengths(self, expected: Expected, group: Ints) -> Floats:
        """For each part, the millimetres that no earlier part in the same group shows as well.

        Args:
            expected: What the pattern wants.
            group: For each page, the number of its group.
        """
        group = group[self.page]
        order = np.lexsort((self.low, self.chord, group))
        chord, low, high = self.chord[order], self.low[order], self.high[order]
        fresh = np.ones(len(order), dtype=bool)
        fresh[1:] = (chord[1:] != chord[:-1]) | (group[order][1:] != group[order][:-1])
        # Every chord of every group has a stretch of 2 to itself: one running maximum serves all.
        shift = 2.0 * np.cumsum(fresh)
        reached = np.maximum.accumulate(high + shift) - shift
        before = np.where(fresh, 0.0, np.roll(reached, 1))
        size = sizes(expected.ends - expected.starts)[chord]
        lengths = np.empty(len(order))
        lengths[order] = np.maximum(high - np.maximum(low, before), 0.0) * size
        return lengths


def seen_by_pages(record: Record, expected: Expected) -> Seen:
    """What the window of each page of the record takes in of the pattern."""
    window = box_window(*record.window)
    found = [
        expected.entering(moved_window(window, Affine.move(*page.origin))) for page in record.pages
    ]
    return Seen(
        np.repeat(np.arange(len(found)), [len(part.chord) for part in found]),
        np.concatenate([part.chord for part in found]),
        np.concatenate([part.low for part in found]),
        np.concatenate([part.high for part in found]),
    )


def gap_faults(record: Record, expected: Expected, seen: Seen) -> list[Fault]:
    """Lines that no page of the record has a window on."""
    count = len(expected.curves)
    lengths = seen.lengths(expected, np.zeros(len(record.pages), dtype=np.int64))
    have = np.bincount(expected.chord_of[seen.chord], lengths, minlength=count)
    size = sizes(expected.ends - expected.starts)
    missing = np.bincount(expected.chord_of, size, minlength=count) - have
    faults: list[Fault] = []
    for thing in np.unique(expected.thing[missing > GAP]):
        lost = float(missing[expected.thing == thing].sum())
        text = f"{millimetres(lost)} of {expected.things[int(thing)]} are on no page"
        faults.append(Fault("gap", "", text))
    return faults


def head_faults(record: Record, expected: Expected) -> list[Fault]:
    """Lines of the pattern where large paper has the words of its head."""
    if record.head is None:
        return []
    found = expected.entering(grown_window(box_window(*record.head), -GAP))
    things = dict.fromkeys(expected.words(int(expected.chord_of[k])) for k in found.chord)
    return [Fault("gap", "", f"{thing} runs through the head of the paper") for thing in things]


def apart_faults(
    record: Record,
    expected: Expected,
    seen: Seen,
    group: Ints,
    joined: Sequence[Sequence[str]],
) -> list[Fault]:
    """Pieces whose lines lie on pages that no crosses tie together.

    Of the groups of pages that hang together by their crosses, one must show all of a piece that
    any page shows. What a page of another group shows once more does no harm.

    Args:
        record: Says what the pages are called.
        expected: What the pattern wants.
        seen: What the pages show of it.
        group: For each page, the number of the pages that it hangs together with.
        joined: Names of pieces that are joined, which count as one.
    """
    return [
        Fault(
            "apart",
            " and ".join(pieces),
            f"its lines lie on pages that no crosses tie together ({', '.join(pages)}), so that "
            "nothing tells where these belong",
        )
        for pieces, pages in _apart(record, expected, seen, group, joined)
    ]


def together_findings(
    record: Record,
    expected: Expected,
    seen: Seen,
    group: Ints,
    together: Sequence[Sequence[str]],
) -> list[Finding]:
    """Pieces that the maker wants on one sheet and that are not; no line is off for that."""
    findings = []
    for bundle in together:
        for pieces, pages in _apart(record, expected, seen, group, [bundle]):
            if len(pieces) > 1:
                text = f"They are to lie on one sheet, and lie on several ({', '.join(pages)})."
                where = " and ".join(pieces)
                findings.append(Finding("not-together", Severity.WARNING, where, text))
    return findings


def _apart(
    record: Record,
    expected: Expected,
    seen: Seen,
    group: Ints,
    bundles: Sequence[Sequence[str]],
) -> list[tuple[tuple[str, ...], list[str]]]:
    """Bundles of pieces that no group of pages shows whole: the pieces, and some of the pages."""
    if not len(seen.page):
        return []
    unit_of = _units(expected, bundles)
    unit = unit_of[expected.layer[expected.chord_of[seen.chord]]]
    everything = seen.lengths(expected, np.zeros(len(record.pages), dtype=np.int64))
    want = np.bincount(unit, everything, minlength=len(unit_of))
    shown, place = np.unique(
        np.stack([unit, group[seen.page]], axis=1), axis=0, return_inverse=True
    )
    place = place.ravel()
    have = np.bincount(place, seen.lengths(expected, group), minlength=len(shown))
    first = np.full(len(shown), len(record.pages))
    np.minimum.at(first, place, seen.page)
    found = []
    for number in np.unique(unit):
        mine = np.flatnonzero(shown[:, 0] == number)
        mine = mine[np.argsort(-have[mine], kind="stable")]
        if want[number] - have[mine[0]] > GAP:
            pages = sorted(first[mine[:_MOST_NAMES]].tolist())
            parts = dict.fromkeys(expected.layers[k][0] for k in np.flatnonzero(unit_of == number))
            found.append((tuple(parts), [record.pages[page].name for page in pages]))
    return found


def _units(expected: Expected, bundles: Sequence[Sequence[str]]) -> Ints:
    """For each layer, the number of what has to stay together: a piece, or a whole bundle."""
    leader = {piece: piece for piece, _ in expected.layers}
    for bundle in bundles:
        old = {leader[name] for name in bundle if name in leader}
        leader = {name: min(old) if led in old else led for name, led in leader.items()}
    numbers: dict[str, int] = {}
    return np.array(
        [numbers.setdefault(leader[piece], len(numbers)) for piece, _ in expected.layers],
        dtype=np.int64,
    )
