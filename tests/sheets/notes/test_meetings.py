"""Which notch meets which: what the maker's seams say, walked."""

from __future__ import annotations

from functools import cache

import shapely

from tests.demos import DEMOS, drafted_demo
from tiler.sheets.notes.meetings import Meeting, NotchFacts, notch_facts


@cache
def facts_of(demo: str) -> dict[str, tuple[NotchFacts, ...]]:
    return notch_facts(drafted_demo(demo))


def notches(demo: str, piece: str, edge: str) -> list[NotchFacts]:
    return [n for n in facts_of(demo)[piece] if n.edge == edge]


def test_a_notch_meets_its_partner_across_a_seam() -> None:
    """The maker of the smock puts one 240 mm down the side seam of the front; the back follows."""
    (front,) = notches("smock", "Front", "side seam")
    assert (front.count, round(front.distance), front.beside) == (1, 240, "armhole")
    assert front.meets == (Meeting("side seam", "notch", "Back", "side seam", "E"),)


def test_the_top_of_a_sleeve_meets_the_shoulder_seam() -> None:
    """Where back and front follow one another, no notch is needed."""
    _, top, _ = notches("smock", "Sleeve", "head")
    (meeting,) = top.meets
    assert (meeting.kind, {meeting.piece, meeting.other}) == ("joint", {"Back", "Front"})


def test_back_and_front_of_a_sleeve_are_told_apart() -> None:
    """Double notches are the back's; common practice, no source."""
    back, _, front = notches("smock", "Sleeve", "head")
    assert (back.count, back.meets[0].piece) == (2, "Back")
    assert (front.count, front.meets[0].piece) == (1, "Front")


def test_a_piece_sewn_to_its_own_mirror_image_meets_itself() -> None:
    (seat,) = notches("trousers", "Back", "seat seam")
    assert [m.kind for m in seat.meets] == ["same"]


def test_an_edge_in_two_seams_meets_two_partners() -> None:
    upper, _ = notches("trousers", "Front", "side seam, placket")
    assert {m.piece for m in upper.meets} == {"Back", "Placket facing"}


def test_a_seam_of_several_copies_says_how_many() -> None:
    """Six crown panels go to four half brims: no single place can be told."""
    (panel,) = notches("hat", "Crown panel", "lower edge")
    told = {(m.piece, m.kind, m.times) for m in panel.meets}
    assert told == {("Brim", "times", (6, 4)), ("Inner band", "times", (6, 1))}


def test_notches_of_a_style_say_so() -> None:
    """The short sleeve has an underarm of its own."""
    found = notches("smock", "Sleeve", "back underarm")
    assert {n.styles for n in found} == {("long", "jacket"), ("short",)}
    assert all(n.number == 0 for n in found)


def test_partners_name_each_other() -> None:
    for demo in DEMOS:
        found = facts_of(demo)
        for piece, own in found.items():
            for notch in own:
                for met in notch.meets:
                    if met.kind not in ("notch", "same"):
                        continue
                    partners = [n for n in found[met.piece] if n.letter == met.letter]
                    back = [m for n in partners for m in n.meets if m.seam == met.seam]
                    assert any((m.piece, m.letter) == (piece, notch.letter) for m in back)


def test_partners_lie_equally_far_along_the_seam() -> None:
    """Measured with shapely on the stitch lines: 240 mm from the armhole, on both pieces."""
    for name in ("Front", "Back"):
        piece = next(p for p in drafted_demo("smock").pieces if p.name == name)
        (notch,) = notches("smock", name, "side seam")
        edge = next(e for e in piece.stitch[0].edges if e.letter == notch.letter)
        line = shapely.LineString(edge.path.flattened(0.001))
        along = line.project(shapely.Point(notch.point))
        assert min(along, line.length - along) > 200
        assert abs(along - 240.0) < 0.5 or abs(line.length - along - 240.0) < 0.5
