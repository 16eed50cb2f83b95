"""The drawings that a new pattern begins with, and the pieces that they hold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from tiler.intake.drawn import DrawnSheet
    from tiler.pattern.model import Pattern, Piece

_KINDS = (".svg", ".csv", ".dxf")


@dataclass(frozen=True, slots=True)
class Found:
    """A piece that a drawing holds.

    Args:
        name: What the new pattern calls it.
        piece: As it reads before anything is answered.
        drawing: File of the drawing in the new folder.
        content: That file.
        layer: The layer that holds it; empty for the whole drawing.
        sheet: The drawing; None when the piece comes from a DXF file.
        said: Whether the drawing says what its outline is.
    """

    name: str
    piece: Piece
    drawing: str
    content: bytes
    layer: str
    sheet: DrawnSheet | None
    said: bool


@dataclass(frozen=True, slots=True)
class TakenUp:
    """All that was found.

    Args:
        pieces: In the order in which the drawings were given.
        known: What DXF files say of the whole; its pieces do not count.
    """

    pieces: tuple[Found, ...]
    known: Pattern

    @property
    def unsaid(self) -> tuple[str, ...]:
        """Names of the pieces whose drawings do not say what the outline is."""
        return tuple(each.name for each in self.pieces if not each.said)

    @property
    def uncut(self) -> tuple[Found, ...]:
        """The pieces of which it is not known how many to cut."""
        return tuple(each for each in self.pieces if not each.piece.cuts)

    @property
    def needs_allowance(self) -> bool:
        """Whether the seam allowance of some piece is not known."""
        return any(each.piece.allowance is None for each in self.pieces)

    @property
    def needs_cloth(self) -> bool:
        """Whether nothing is known of the main cloth."""
        return "main" not in dict(self.known.cloths)


def take_up(sources: Sequence[Path]) -> TakenUp:
    """Read the drawings that a pattern begins with.

    Args:
        sources: Drawings (.svg), tables of points (.csv), DXF files, and folders of these.

    Raises:
        BlocksheetError: One of them cannot be read, or holds no piece; nothing is left out.
    """
    from tiler.pattern.model import Pattern

    known = Pattern("", ())
    raw: list[Found] = []
    for file in _files(sources):
        if file.suffix.lower() == ".dxf":
            found, pattern = _from_dxf(file)
            known = _both(known, pattern)
        else:
            found = _from_drawing(file)
        raw += found
    return TakenUp(_named(raw), known)


def take_up_drawn(drawings: Mapping[str, str]) -> TakenUp:
    """The same for drawings that have been made just now, a piece each.

    Args:
        drawings: Name of each piece -> its SVG.

    Raises:
        BlocksheetError: One of them holds no piece, or several.
    """
    from tiler.intake.svg import read_svg
    from tiler.output.folder.names import drawing_names
    from tiler.pattern.model import Pattern

    names = drawing_names(list(drawings))
    raw = []
    for piece, text in drawings.items():
        content = text.encode()
        raw.append(_found(piece, content, read_svg(content, names[piece]), ""))
    return TakenUp(_named(raw), Pattern("", ()))


def _files(sources: Sequence[Path]) -> list[Path]:
    from tiler.intake.files import is_there, shown
    from tiler.intake.patternfile import PATTERN_FILE

    files: dict[Path, Path] = {}
    for source in sources:
        if not is_there(source):
            raise FileError(
                "there is no such file or folder",
                where=shown(source),
                remedy="Give an .svg drawing, a .csv table of points, a .dxf file or a folder of "
                "these.",
            )
        if not source.is_dir():
            files.setdefault(source.resolve(), source)
            continue
        if is_there(source / PATTERN_FILE):
            raise FileError(
                f"this is a pattern folder already: it has a {PATTERN_FILE}",
                where=shown(source),
                remedy="Go on with it, or give its drawings one by one.",
            )
        inside = sorted(_drawings(source))
        if not inside:
            raise FileError(
                "the folder has no .svg drawing, .csv table of points or .dxf file",
                where=shown(source),
            )
        files.update((file.resolve(), file) for file in inside)
    for file in files.values():
        if file.suffix.lower() not in _KINDS:
            raise FileError(
                "this is no .svg drawing, .csv table of points or .dxf file",
                where=shown(file),
                remedy="Save the drawing as plain SVG at true size.",
            )
    return list(files.values())


def _drawings(folder: Path) -> list[Path]:
    from tiler.intake.files import shown

    try:
        return [
            file
            for file in folder.iterdir()
            if file.suffix.lower() in _KINDS and not file.name.startswith(".")
        ]
    except OSError as bad:
        raise FileError(
            f"the folder cannot be read ({(bad.strerror or str(bad)).lower()})", where=shown(folder)
        ) from None


def _from_drawing(file: Path) -> list[Found]:
    from tiler.intake.apart import layers_apart
    from tiler.intake.files import content_of, shown
    from tiler.intake.folder import DRAWING_LIMIT, drawn_sheet

    content = content_of(file, DRAWING_LIMIT)
    sheet = drawn_sheet(shown(file.name), content)
    return [
        _found(readable(layer or file.stem), content, sheet, layer) for layer in layers_apart(sheet)
    ]


def _found(name: str, content: bytes, sheet: DrawnSheet, layer: str) -> Found:
    from tiler.intake.piece import piece_from
    from tiler.intake.words.model import PieceWords

    piece, findings = piece_from(sheet, PieceWords(name, sheet.name, layer))
    said = all(finding.code != "outline-role-assumed" for finding in findings)
    return Found(name, piece, sheet.name, content, layer, sheet, said)


def _from_dxf(file: Path) -> tuple[list[Found], Pattern]:
    from tiler.intake.folder import read_pattern
    from tiler.output.folder import folder_files
    from tiler.output.folder.names import drawing_names

    pattern = read_pattern(file)
    files = folder_files(pattern)
    names = drawing_names([piece.name for piece in pattern.pieces])
    found = [
        Found(piece.name, piece, names[piece.name], files[names[piece.name]], "", None, said=True)
        for piece in pattern.pieces
    ]
    return found, pattern


def _both(first: Pattern, second: Pattern) -> Pattern:
    """What either says of the whole; what the first says counts."""
    return replace(
        first,
        title=first.title or second.title,
        maker=first.maker or second.maker,
        version=first.version or second.version,
        about=first.about or second.about,
        traced_from=first.traced_from or second.traced_from,
        cloths=tuple({**dict(second.cloths), **dict(first.cloths)}.items()),
        styles=tuple({**dict(second.styles), **dict(first.styles)}.items()),
    )


def _named(raw: Sequence[Found]) -> tuple[Found, ...]:
    """Pieces and files with names of their own, whatever a file system takes for the same."""
    from tiler.output.folder.names import drawing_names

    pieces = list(_apart([found.name for found in raw]))
    # What one drawing holds stays in one file.
    given = {(found.drawing, id(found.sheet or found.piece)): "" for found in raw}
    stems = list(_apart([Path(name).stem for name, _ in given]))
    names = drawing_names(stems)
    given = {key: _ending(names[stem], key[0]) for key, stem in zip(given, stems, strict=True)}
    return tuple(
        replace(
            found,
            name=name,
            piece=replace(found.piece, name=name),
            drawing=(drawing := given[found.drawing, id(found.sheet or found.piece)]),
            sheet=replace(found.sheet, name=drawing) if found.sheet else None,
        )
        for found, name in zip(raw, pieces, strict=True)
    )


def _ending(name: str, given: str) -> str:
    """The name of a drawing, for a table of points when that was given."""
    return str(Path(name).with_suffix(".csv")) if given.lower().endswith(".csv") else name


def _apart(names: Sequence[str]) -> Iterator[str]:
    taken: set[str] = set()
    for name in names:
        own, count = name, 1
        while own.casefold() in taken:
            count += 1
            own = f"{name} {count}"
        taken.add(own.casefold())
        yield own


def readable(name: str) -> str:
    """A file's or layer's name as words: ``neck_facing`` gives ``Neck facing``."""
    kept = (letter if letter.isprintable() and letter not in "_-" else " " for letter in name)
    words = " ".join("".join(kept).split())[:60].strip() or "Piece"
    return words[:1].upper() + words[1:]
