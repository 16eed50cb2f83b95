"""What the user says of areas, and the question where only the user can say it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from tiler.intake.photo.lines.faces import Face, spot_points
from tiler.intake.photo.lines.inks import WORDS
from tiler.intake.photo.problem import CaptureError, TableSpot

Said = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """What the user has said of the areas that lines go round.

    Args:
        styles: Name -> letters of the areas that a style consists of, or a word for the colour
            that its own lines are drawn in.
        pieces: Name -> letters of the areas that a piece consists of.
    """

    styles: Said = ()
    pieces: Said = ()


class Undecided(CaptureError):
    """Lines that could be outlines or not; `table_spots` are the areas with their letters."""


def face_spots(faces: Sequence[Face]) -> tuple[TableSpot, ...]:
    """The areas with their letters, for a picture."""
    return tuple(TableSpot(spot_points(face), True, face.letter) for face in faces)


def colour_said(letters: str) -> str:
    """The colour that the user named in place of letters; empty for letters."""
    word = letters.strip().lower()
    return word if word.split("-")[0] in WORDS else ""


def faces_said(option: str, name: str, letters: str, faces: Sequence[Face]) -> frozenset[str]:
    """The letters that were typed, each one that of an area.

    Raises:
        CaptureError: No letter, or one that no area has.
    """
    known = {face.letter for face in faces if face.letter}
    typed = [letter for letter in letters if letter not in " ,+"]
    if all(letter.isupper() for letter in known):
        typed = [letter.upper() for letter in typed]
    wrong = sorted({letter for letter in typed if letter not in known})
    if wrong or not typed:
        which = ", ".join(wrong) or "none"
        raise CaptureError(
            f"{option} {name}={letters} names the area {which}, and there is no such area",
            remedy=f"The areas are {', '.join(sorted(known))}, as the picture shows them.",
            table_spots=face_spots(faces),
            code="wrong-letters",
        )
    return frozenset(typed)


def refuse_named_twice(pieces: Sequence[tuple[str, frozenset[str]]], faces: Sequence[Face]) -> None:
    """See that no area is in two pieces.

    Raises:
        CaptureError: One is.
    """
    for n, (one, letters) in enumerate(pieces):
        for other, more in pieces[n + 1 :]:
            both = sorted(letters & more)
            if both:
                raise CaptureError(
                    f"area {both[0]} is named for two pieces, {one} and {other}",
                    remedy="Name each area for one piece. Styles may share areas; if the two are "
                    f"styles of one piece, write --style {one}=… --style {other}=…",
                    table_spots=face_spots([f for f in faces if f.letter in both]),
                    code="area-in-two-pieces",
                )


def question(faces: Sequence[Face], doubtful: Collection[str], why: str) -> Undecided:
    """What to ask, with everything that an answer looks like.

    Args:
        faces: All areas on the sheet.
        doubtful: The letters of those that this is about.
        why: What is not certain, a clause.
    """
    letters = "".join(face.letter for face in faces if face.letter in doubtful)
    # What a smaller style could be: without the smallest area at its edge, or what lies inside.
    whole = [face for face in faces if face.letter in doubtful]
    within = [face for face in whole if len(face.loops) == 1]
    least = min(within, key=lambda face: face.area)
    short = "".join(face.letter for face in within if len(within) < len(whole) or face is not least)
    apart = " ".join(
        f"--piece {name}={letter}"
        for name, letter in zip(("Front", "Back", "Side"), letters, strict=False)
    )
    touching = f"Pieces that touch: {apart}. " if len(within) == len(whole) else ""
    remedy = (
        "Look at the letters in the picture and say what belongs together, in one of these ways. "
        f"Styles of one piece, each with all its areas: --style long={letters} --style "
        f"short={short}. "
        f"{touching}"
        f"One piece, with nothing but inner lines between its areas: --piece Front={letters}."
    )
    return Undecided(
        f"{why}, so it is not certain which of the areas {', '.join(letters)} belong to one "
        "outline",
        remedy=remedy,
        table_spots=face_spots(faces),
        code="areas-undecided",
    )
