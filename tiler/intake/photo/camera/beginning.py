"""What is known before looking, and where to begin, for photos and for scans."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from tiler.intake.photo.camera import photographed as ph
from tiler.intake.photo.camera import scanned as sc
from tiler.intake.photo.camera import scene
from tiler.intake.photo.camera.lens import Lens, LensCamera
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.camera.scanner import ScanCamera
from tiler.intake.photo.camera.scene import Prior, Seen, State, View
from tiler.intake.photo.camera.starting import Begun, joined, laid, upright_camera
from tiler.intake.photo.camera.variances import HABITS
from tiler.intake.photo.model import Numbers, Photo, Points

#: Focal lengths over the longer side to begin with where the file tells none: a wide lens, the
#: usual one, and a long one.
_FOCALS = (0.55, 0.8, 1.3, 2.2)
#: Standard deviations; common practice, no source. Of the logarithm of the focal length, where the
#: file tells it and where it does not.
_FOCAL_TOLD, _FOCAL_UNTOLD = 0.1, 0.35
#: Of the principal point from the middle, in shares of the longer side: a stabilised lens moves,
#: and pictures are cropped.
_MIDDLE = 0.01
#: Of k1, k2, k3, p1, p2.
_BENDING = (0.15, 0.1, 0.02, 0.0005, 0.0005)
#: Of the share by which a lens focuses longer from photo to photo.
_ZOOM = 0.003
#: Of the logarithm by which a scanner's two directions differ.
_SCANNER = 0.005
#: Of the share by which a scanner pulls one strip faster than another.
_PULL = 3e-4
#: Where the whole lies is nobody's business: its first card is held there, mm, mm, radians.
_HELD = (1.0, 1.0, 1e-3)


def _prior(view: View, cards: int, printed: Printed) -> Prior:
    mean, sd = np.zeros(view.size), np.full(view.size, np.inf)
    for index, (value, deviation) in zip((scene.ACROSS, scene.UP), printed.known(), strict=True):
        mean[index], sd[index] = value, deviation
    for card in range(cards):
        for habit in HABITS:
            sd[view.card(card) + np.array(habit.unknowns)] = habit.first
    return Prior(mean, sd, ((scene.ACROSS, scene.UP, 0.0, printed.tie()),))


def held(view: View, state: State, prior: Prior) -> Prior:
    """The prior with the first card held where the state has it."""
    mean, sd = prior.mean.copy(), prior.sd.copy()
    at = slice(view.card(0), view.card(0) + 3)
    mean[at], sd[at] = state.values[at], _HELD
    return Prior(mean, sd, prior.ties)


def _groups(keys: Sequence[object]) -> tuple[int, ...]:
    kinds = list(dict.fromkeys(keys))
    return tuple(kinds.index(key) for key in keys)


def _lay_cards(view: View, values: Numbers, begun: Begun) -> None:
    for index, place in enumerate(begun.cards):
        at = view.card(index)
        values[at : at + 3] = place.x, place.y, place.turn


def photos_begun(
    photos: Sequence[Photo], seen: Seen, printed: Printed
) -> tuple[ph.Photographed, list[State], Prior]:
    """Photos: the unknowns, several states to begin with, and what is known.

    Photos of one size and one focal length in their files were taken by one lens.
    """
    lens_of = _groups([(p.width, p.height, p.focal_px and round(p.focal_px)) for p in photos])
    view = ph.Photographed(lens_of, max(lens_of) + 1, len(seen.cards))
    prior = _prior(view, len(seen.cards), printed)
    for index, photo in enumerate(photos):
        own, side = view.lens(index), max(photo.width, photo.height)
        told = photo.focal_px is not None
        means = (
            math.log(photo.focal_px or 0.85 * side),
            (photo.width - 1) / 2,
            (photo.height - 1) / 2,
        )
        prior.mean[own : own + 3] = means
        deviation = _FOCAL_TOLD if told else _FOCAL_UNTOLD
        prior.sd[own : own + ph.OF_LENS] = (deviation, _MIDDLE * side, _MIDDLE * side, *_BENDING)
        shared = lens_of.count(lens_of[index]) > 1
        prior.sd[view.photo(index) + ph.ZOOM] = _ZOOM if shared else 1e-6
    starts = []
    for share in _FOCALS:
        focals = [p.focal_px or share * max(p.width, p.height) for p in photos]
        starts.append(_photos_state(view, prior, seen, printed, focals))
        if all(photo.focal_px for photo in photos):
            break
    return view, starts, prior


def _photos_state(
    view: ph.Photographed,
    prior: Prior,
    seen: Seen,
    printed: Printed,
    focals: Sequence[float],
) -> State:
    values = prior.mean.copy()
    values[[scene.ACROSS, scene.UP]] = np.log(printed.scale)
    cameras: list[LensCamera] = []
    tables: list[Points] = []
    for photo, focal in enumerate(focals):
        own = view.lens(photo)
        values[own + ph.FOCAL] = math.log(focal)
        middle = (float(values[own + ph.MIDDLE_X]), float(values[own + ph.MIDDLE_Y]))
        cameras.append(upright_camera(seen, photo, Lens(focal, middle), printed.scale))
        tables.append(cameras[-1].to_table(seen.in_photo[seen.photo == photo]))
    begun = joined(seen, tables, printed.scale)
    turns = np.empty((len(cameras), 3, 3))
    for photo, (camera, place) in enumerate(zip(cameras, begun.tables, strict=True)):
        turns[photo] = camera.turn @ ph.rotation(np.array([0, 0, -place.turn]))
        shift = camera.shift - turns[photo] @ (place.x, place.y, 0.0)
        at = view.photo(photo) + ph.SHIFT
        values[at : at + 3] = shift
    _lay_cards(view, values, begun)
    return State(values, turns)


def scans_begun(
    photos: Sequence[Photo], seen: Seen, printed: Printed
) -> tuple[sc.Scanned, State, Prior]:
    """Scans: the unknowns, a state to begin with, and what is known.

    Strips whose files state one resolution were scanned alike.
    """
    scanner_of = _groups([photo.dpi for photo in photos])
    view = sc.Scanned(scanner_of, max(scanner_of) + 1, len(seen.cards))
    prior = _prior(view, len(seen.cards), printed)
    for strip in range(len(photos)):
        at, shared = view.strip(strip), scanner_of.count(scanner_of[strip]) > 1
        prior.sd[at + sc.MORE_X : at + sc.OF_STRIP] = _PULL if shared else 1e-6
    ties = [(view.scanner(i), view.scanner(i) + 1, 0.0, _SCANNER) for i in range(len(photos))]
    prior = Prior(prior.mean, prior.sd, prior.ties + tuple(dict.fromkeys(ties)))
    values = prior.mean.copy()
    values[[scene.ACROSS, scene.UP]] = np.log(printed.scale)
    tables: list[Points] = []
    for strip in range(len(photos)):
        own = view.scanner(strip)
        if values[own] == 0:
            values[own : own + 2] = _log_per_mm(seen, strip, printed)
        per_mm = tuple(np.exp(values[own : own + 2]).tolist())
        glass = ScanCamera((per_mm[0], per_mm[1]), 0.0, (0.0, 0.0))
        tables.append(glass.to_table(seen.in_photo[seen.photo == strip]))
    begun = joined(seen, tables, printed.scale)
    for strip, place in enumerate(begun.tables):
        # From the common table to the glass is the way back.
        at, own = view.strip(strip), view.scanner(strip)
        back = laid(place.of(np.eye(2)), np.eye(2))
        across, down = np.exp(values[own : own + 2]).tolist()
        values[at : at + sc.MORE_X] = back.turn, across * back.x, -down * back.y
    _lay_cards(view, values, begun)
    return view, State(values, np.empty((0, 3, 3))), prior


def _log_per_mm(seen: Seen, strip: int, printed: Printed) -> float:
    """Logarithm of pixels a millimetre, from how far corners of cards are apart."""
    apart = np.zeros(2)
    for card in range(len(seen.cards)):
        here = seen.of(strip, card)
        for index, points in enumerate((seen.in_photo[here], seen.on_card[here] * printed.scale)):
            if len(points):
                apart[index] += np.sum((points - points.mean(axis=0)) ** 2)
    return float(np.log(apart[0] / apart[1]) / 2)
