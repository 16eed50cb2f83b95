"""What tells whose a pattern is goes; a maker's own words stay, and are refused if they tell it."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from tests.job.seedpouch import ADDRESS, MAKER, TELLING, TRACED_FROM, seed_pouch
from tiler import job
from tiler.job.private import refuse_named, stripped
from tiler.pattern.errors import PatternError
from tiler.pattern.handover import Handover
from tiler.pattern.model import Pattern, Piece, Seam

#: What tells whose it is, and is taken away.
TAKEN = {
    Pattern: {"maker", "version", "findings", "traced_from"},
    Handover: {"address"},
    Piece: {"drawing"},
    Seam: {"where"},
}
#: Files stay in memory, for the digest and the proof; they are not written.
HELD = {Pattern: {"sources"}}
STAYS = {
    Pattern: {
        *("title", "pieces", "about", "cloths", "styles", "seams", "joined", "together"),
        *("traced_stretch", "cloth_stretch", "handover", "placed"),
    },
    Handover: {
        *("licence", "language", "wearer", "cords", "small_parts", "notions", "sewing"),
        *("finished", "cloths"),
    },
    Piece: {
        *("name", "outlines", "lines", "marks", "grain", "cuts", "allowance", "notes", "part"),
        *("side", "wishes", "stitch", "shared"),
    },
    Seam: {"first", "second", "ease", "times", "name", "turned", "equal", "match"},
}


@pytest.mark.parametrize("kind", list(TAKEN))
def test_of_everything_that_a_pattern_holds_it_is_decided_whether_it_is_private(kind: type) -> None:
    """Whoever adds a field decides it here, and in `tiler.job.private`."""
    known = TAKEN[kind] | HELD.get(kind, set()) | STAYS[kind]
    assert {field.name for field in fields(kind)} == known  # type: ignore[arg-type]


def test_what_tells_whose_it_is_is_gone(tmp_path: Path) -> None:
    pattern = job.read(seed_pouch(tmp_path / "pouch"))
    told = stripped(pattern)
    words = repr(told)
    assert all(word in repr(pattern) for word in TELLING)
    assert not any(word in words for word in TELLING)
    assert told.digest == pattern.digest
    assert told.handover.licence == pattern.handover.licence


def test_words_that_say_nothing_of_it_are_taken(tmp_path: Path) -> None:
    refuse_named(job.read(seed_pouch(tmp_path / "pouch")))


@pytest.mark.parametrize(
    ("old", "place"),
    [
        ("Seed pouch", "the title"),
        ("to be worn at the belt", "about"),
        ("Firm linen", "the cloth main"),
        ("Press before you hem", "the piece Flap"),
        ("Do not sell the pattern", "the licence"),
        ("Hem the flap", "the order of sewing"),
        ("1 button", "a notion"),
        ('"width"', "a finished measurement"),
    ],
)
@pytest.mark.parametrize("name", [MAKER.upper(), ADDRESS, f"  {TRACED_FROM} "])
def test_words_that_tell_it_are_refused_with_their_place(
    tmp_path: Path, old: str, place: str, name: str
) -> None:
    new = f'"{name}"' if old.startswith('"') else f"by {name}, thanks"
    folder = seed_pouch(tmp_path / "pouch", **{old: new})
    with pytest.raises(PatternError, match=place):
        refuse_named(job.read(folder))
