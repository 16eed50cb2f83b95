"""Bodies out of areas: what the user said first, what is certain then, and else the question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tiler.intake.photo.lines.asking import (
    Asked,
    Said,
    colour_said,
    face_spots,
    faces_said,
    question,
    refuse_named_twice,
)
from tiler.intake.photo.lines.crossings import passes
from tiler.intake.photo.lines.deciding import Body, by_colour, by_crossing, crosses_itself
from tiler.intake.photo.lines.faces import Face, groups_of
from tiler.intake.photo.lines.net import Net
from tiler.intake.photo.problem import CaptureError, Doubts

_Named = list[tuple[str, frozenset[str]]]


def bodies_of(
    net: Net, faces: Sequence[Face], words: Mapping[int, str], asked: Asked, doubts: Doubts
) -> list[Body]:
    """The pieces on the sheet.

    Args:
        net: With the areas' arcs.
        faces: All areas, with letters.
        words: What the inks are called.
        asked: What the user said.
        doubts: Where it is told what was decided without them.

    Raises:
        CaptureError: What the user said cannot be.
        Undecided: They have to say something.
    """
    pieces = [(name, faces_said("--piece", name, said, faces)) for name, said in asked.pieces]
    colours = tuple((name, said) for name, said in asked.styles if colour_said(said))
    styles = [
        (name, faces_said("--style", name, said, faces))
        for name, said in asked.styles
        if not colour_said(said)
    ]
    _refuse_same_names(asked)
    refuse_named_twice(pieces, faces)
    named = {face.letter: face for face in faces}
    said = {letter for _, letters in pieces for letter in letters}
    bodies = [_piece(net, name, letters, named, styles, words, colours) for name, letters in pieces]
    doubtful: list[list[Face]] = []
    groups = groups_of(faces, [net.leaving[n] for n in net.leaving if passes(net, n)])
    for group in sorted(groups, key=lambda each: min(face.letter for face in each)):
        left = [face for face in group if face.letter not in said]
        own = frozenset(face.letter for face in left)
        spoken = [(name, letters & own) for name, letters in styles if letters & own]
        if spoken:
            bodies.append(Body(_styles(spoken, named)))
            held = frozenset(letter for _, letters in spoken for letter in letters)
            _tell_left([face for face in left if face.letter not in held], doubts)
        elif len(left) < len(group):
            _tell_left(left, doubts)
        else:
            found = _certain(net, group, words, colours, doubts)
            if found is None:
                doubtful.append(group)
            else:
                bodies += found
    if doubtful:
        _ask(net, faces, doubtful)
    _refuse_idle_colours(colours, bodies, words)
    return bodies


def _refuse_same_names(asked: Asked) -> None:
    for option, said in (("--style", asked.styles), ("--piece", asked.pieces)):
        names = [name for name, _ in said]
        for name in names:
            if not name.strip() or names.count(name) > 1:
                raise CaptureError(
                    f'the name "{name}" is given twice with {option}'
                    if name.strip()
                    else f"{option} is without a name",
                    remedy=f"Write each name once, such as {option} long=AB.",
                    code="name-twice",
                )


def _piece(
    net: Net,
    name: str,
    letters: frozenset[str],
    named: Mapping[str, Face],
    styles: _Named,
    words: Mapping[int, str],
    colours: Said,
) -> Body:
    spoken = [(style, own & letters) for style, own in styles if own & letters]
    if spoken:
        outside = sorted(letters - {each for _, own in spoken for each in own})
        if outside:
            raise CaptureError(
                f"area {outside[0]} belongs to the piece {name}, but to none of its styles",
                remedy="Name it in a --style as well, or leave it out of the piece.",
                table_spots=face_spots([named[outside[0]]]),
                code="area-without-style",
            )
        return Body(_styles(spoken, named), name)
    faces = [named[letter] for letter in sorted(letters)]
    found = by_colour(net, faces, words) if colours else None
    if found is not None:
        return Body(_renamed(found[0], colours).styles, name)
    return Body((("", tuple(faces)),), name)


def _styles(spoken: _Named, named: Mapping[str, Face]) -> tuple[tuple[str, tuple[Face, ...]], ...]:
    for n, (one, letters) in enumerate(spoken):
        for other, more in spoken[n + 1 :]:
            if letters == more:
                raise CaptureError(
                    f"the styles {one} and {other} are the same areas",
                    remedy="Give each style the areas that it covers, or name one style only.",
                    table_spots=face_spots([named[letter] for letter in sorted(letters)]),
                    code="styles-same",
                )
            if not letters & more:
                raise CaptureError(
                    f"the styles {one} and {other} have no area in common",
                    remedy="Styles lie over one another: name for each all areas that it covers, "
                    f"the shared ones too. If they are pieces, write --piece {one}=… "
                    f"--piece {other}=….",
                    table_spots=face_spots([named[each] for each in sorted(letters | more)]),
                    code="styles-apart",
                )
    return tuple(
        (style, tuple(named[letter] for letter in sorted(letters))) for style, letters in spoken
    )


def _certain(
    net: Net, group: list[Face], words: Mapping[int, str], colours: Said, doubts: Doubts
) -> list[Body] | None:
    letters = "".join(sorted(face.letter for face in group))
    if len(group) == 1:
        return [Body((("", tuple(group)),))]
    found = by_colour(net, group, words)
    if found is not None:
        body = _renamed(found[0], colours)
        if not colours:
            names = [style for style, _ in body.styles]
            doubts.add(
                "styles-by-colour",
                f"The styles {' and '.join(names)} are told apart by the colour of their lines. "
                "Other names are given so: "
                + " ".join(
                    f"--style {n}={c}" for n, c in zip(("long", "short"), names, strict=False)
                )
                + f". If it is one piece with inner lines, write --piece Front={letters}.",
                table=face_spots(group),
            )
        return [body]
    found = by_crossing(net, group)
    if found is not None:
        _tell_crossing(found, group, doubts)
    return found


def _renamed(body: Body, colours: Said) -> Body:
    names = {colour_said(said): name for name, said in colours}
    return Body(tuple((names.get(style, style), faces) for style, faces in body.styles), body.name)


def _tell_crossing(found: list[Body], group: list[Face], doubts: Doubts) -> None:
    outlines = [faces for body in found for _, faces in body.styles]
    said = ["".join(sorted(face.letter for face in faces)) for faces in outlines]
    if len(found) == 1:
        text = (
            f"{len(outlines)} closed lines cross one another smoothly and share most of their "
            "area: they are taken as styles of one piece. Names are given so: "
            + " ".join(
                f"--style {name}={letters}"
                for name, letters in zip(("long", "short", "third"), said, strict=False)
            )
            + "."
        )
    else:
        text = (
            f"{len(outlines)} closed lines cross one another smoothly: each is taken as a piece. "
            "If they are styles of one piece, write "
            + " ".join(
                f"--style {name}={letters}"
                for name, letters in zip(("long", "short", "third"), said, strict=False)
            )
            + "."
        )
    doubts.add("outlines-cross", text, table=face_spots(group))


def _tell_left(left: list[Face], doubts: Doubts) -> None:
    if left:
        letters = ", ".join(face.letter for face in left)
        doubts.add(
            "areas-left-out",
            f"What was said names no piece or style for {letters}, so it is left out.",
            table=face_spots(left),
        )


def _ask(net: Net, faces: Sequence[Face], doubtful: list[list[Face]]) -> None:
    group = doubtful[0]
    if crosses_itself(net, group):
        raise CaptureError(
            "the outline crosses itself",
            remedy="Draw the outline as one line that does not cross itself. If it is several "
            "outlines, say which area belongs to which with --piece NAME=LETTERS.",
            table_spots=face_spots(group),
            code="outline-crosses",
        )
    nested = any(len(face.loops) > 1 for face in group)
    why = (
        "a closed line lies inside another one, too large for a pocket"
        if nested
        else "lines join two places of an outline, and could be an edge or only an inner line"
    )
    asking = question(faces, {face.letter for face in group}, why)
    if len(doubtful) > 1:
        more = ", ".join(sorted(face.letter for other in doubtful[1:] for face in other))
        asking.remedy += f" The same has to be said of {more}."
    raise asking


def _refuse_idle_colours(colours: Said, bodies: Sequence[Body], words: Mapping[int, str]) -> None:
    styles = {style for body in bodies for style, _ in body.styles}
    for name, said in colours:
        if name not in styles:
            raise CaptureError(
                f"--style {name}={said} names a colour that tells no style apart",
                remedy=f"The lines on the table are {', '.join(sorted(set(words.values())))}. "
                "Name areas by the letters in the picture instead, such as "
                f"--style {name}=AB.",
                code="wrong-colour",
            )
