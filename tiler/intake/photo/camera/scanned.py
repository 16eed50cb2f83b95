"""Flat scans of cards as a function of all unknowns, with its slopes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.camera.scanner import ScanCamera
from tiler.intake.photo.camera.scene import OF_CARD, Indices, Seen, State, on_table
from tiler.intake.photo.model import Numbers, Points

#: The unknowns of a scanner: logarithms of its pixels a millimetre along a picture's x and y.
PER_X, PER_Y = 0, 1
OF_SCANNER = 2
#: Those of a strip: turn of the table on the glass, pixels of the table's origin, and by what share
#: it has more pixels a millimetre than its scanner's usual strip, both ways.
TURNED, AT_X, AT_Y, MORE_X, MORE_Y = range(5)
OF_STRIP = 5


@dataclass(frozen=True)
class Scanned:
    """The unknowns: print scale, then scanners, strips, cards.

    Args:
        scanner_of: Index of the scanner (or setting) of each strip.
        scanners: How many there are.
        cards: How many there are.
    """

    scanner_of: tuple[int, ...]
    scanners: int
    cards: int

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return self.card(self.cards)

    def scanner(self, strip: int) -> int:
        """Where the unknowns of a strip's scanner begin."""
        return 2 + OF_SCANNER * self.scanner_of[strip]

    def strip(self, strip: int) -> int:
        """Where the unknowns of a strip begin."""
        return 2 + OF_SCANNER * self.scanners + OF_STRIP * strip

    def card(self, card: int) -> int:
        """Where the unknowns of a card begin."""
        return self.strip(len(self.scanner_of)) + OF_CARD * card

    def camera(self, state: State, strip: int) -> ScanCamera:
        """How a strip sees the table."""
        own, at = self.scanner(strip), self.strip(strip)
        turn, x, y, more_x, more_y = state.values[at : at + OF_STRIP].tolist()
        more = np.array([more_x, more_y])
        across, down = np.exp(state.values[own : own + 2] + more).tolist()
        return ScanCamera((across, down), turn, (x, y))

    def look(self, state: State, seen: Seen) -> tuple[Points, Numbers]:
        """Pixels of all corners, and how they move (`View.look`)."""
        common = self.card(0)
        blocks: Indices = common + OF_CARD * seen.card
        places, slopes = on_table(state.values, blocks, seen.on_card, common)
        pixels = np.empty((len(places), 2))
        moves = np.empty((len(places), 2, common + OF_CARD))
        for strip in range(len(self.scanner_of)):
            here = seen.photo == strip
            by_place, by_unknowns = self.table(state, strip, places[here, :2])
            pixels[here] = self.camera(state, strip).to_photo(places[here, :2])
            moves[here] = by_place @ slopes[here, :2]
            moves[here, :, :common] += by_unknowns
        return pixels, moves

    def table(self, state: State, photo: int, points: Points) -> tuple[Numbers, Numbers]:
        """How pixels of table points move: with the points (n, 2, 2), and with what is common."""
        camera = self.camera(state, photo)
        c, s = np.cos(camera.turn), np.sin(camera.turn)
        across, down = camera.per_mm
        x, y = points[:, 0], points[:, 1]
        own, at = self.scanner(photo), self.strip(photo)
        moves = np.zeros((len(points), 2, self.card(0)))
        moves[:, 0, own + PER_X] = moves[:, 0, at + MORE_X] = across * (c * x - s * y)
        moves[:, 1, own + PER_Y] = moves[:, 1, at + MORE_Y] = -down * (s * x + c * y)
        moves[:, 0, at + TURNED] = -across * (s * x + c * y)
        moves[:, 1, at + TURNED] = -down * (c * x - s * y)
        moves[:, 0, at + AT_X] = moves[:, 1, at + AT_Y] = 1
        flat = np.array([[across * c, -across * s], [-down * s, -down * c]])
        return np.broadcast_to(flat, (len(points), 2, 2)), moves

    def moved(self, state: State, step: Numbers) -> State:
        """The state after a step."""
        return state.with_values(state.values + step)
