"""What the texts of a piece say: its names, its cutting instruction, its edges."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.intake.dxf.drawn import Block
from tiler.intake.tomltable import NAME_LIMIT, TEXT_LIMIT
from tiler.pattern.affine import Point
from tiler.pattern.errors import LengthError
from tiler.pattern.model import (
    Cut,
    Edge,
    Finding,
    Lay,
    Lies,
    Part,
    Role,
    Severity,
    Side,
)
from tiler.pattern.units import parse_length
from tiler.pattern.wishes import Finish

_OWN = frozenset(
    (
        "piece name",
        "size",
        "quantity",
        "material",
        "annotation",
        "style name",
        "units",
        "boundary",
        "allowance",
        "cut",
        "part",
        "side",
        "note",
    )
)
_EDGE = re.compile(r"edge ([a-z]{1,3}[0-9]{0,3})( allowance| corners)?")
_CUT = re.compile(r"(\d{1,3}) (fold|pair|copies)(?: of (.+))?")
_COUNT = re.compile(r"\d{1,3}")
_NOTES = 40
#: More edges, and more lines of cutting instruction, than any piece has.
_EDGES, _CUTS = 400, 20


@dataclass(frozen=True, slots=True)
class EdgeText:
    """What stands at the corner where an edge begins."""

    letter: str
    at: Point
    lies: Lies
    name: str
    allowance: float | None = None
    finish: Finish | None = None

    def on(self, edge: Edge) -> Edge:
        """The edge, as the texts have it."""
        return replace(
            edge,
            letter=self.letter,
            lies=self.lies,
            name=self.name,
            allowance=self.allowance,
            finish=self.finish,
        )


def boundary_of(block: Block, where: str, findings: list[Finding]) -> Role:
    """Whether the boundary is the cut line or, as files of our own may say, the stitch line."""
    value = block.value("boundary").lower()
    if value.startswith("stitch line"):
        return Role.STITCH
    if not value.startswith("cut line"):
        findings.append(
            Finding(
                "boundary-taken-as-cut",
                Severity.NOTE,
                where,
                "The boundary is taken as the line to cut along, as ASTM D6673 has it. Whether "
                "and how much seam allowance it includes the file does not say: ask its maker.",
            )
        )
    return Role.CUT


def allowance_of(block: Block, key: str, where: str, findings: list[Finding]) -> float | None:
    """The seam allowance in millimetres that the field of that key says, None when not said."""
    value = block.value(key)
    if not value:
        return None
    try:
        length = parse_length(value)
    except LengthError as bad:
        findings.append(_not_understood(key, value, where, str(bad)))
        return None
    if not 0 <= length <= 1000:
        findings.append(_not_understood(key, value, where, "It is no seam allowance."))
        return None
    return length


def part_of(block: Block, where: str, findings: list[Finding]) -> Part | None:
    """Which side of the body the piece lies on, None when not said."""
    value = block.value("part").lower()
    if value and value not in tuple(Part):
        findings.append(_not_understood("Part", value, where, "It is front or back."))
        return None
    return Part(value) if value else None


def side_of(block: Block, where: str, findings: list[Finding]) -> Side | None:
    """On which side a lone piece is worn, None when not said."""
    value = block.value("side").lower()
    if value and value not in tuple(Side):
        findings.append(_not_understood("Side", value, where, "It is left or right."))
        return None
    return Side(value) if value else None


def cuts_of(block: Block, on_fold: bool, where: str, findings: list[Finding]) -> tuple[Cut, ...]:
    """The cutting instruction.

    Texts "Cut: 2 pair of main" are files of our own. Else "Quantity" and "Material" say it; two
    or more pieces without a mirror line may be a pair or copies, and this is never guessed.

    Args:
        block: The piece.
        on_fold: Whether an edge lies on the fold.
        where: File and piece.
        findings: Receives what was not understood.
    """
    cuts = []
    for value in block.values("cut")[:_CUTS]:
        match = _CUT.fullmatch(value)
        if match is None or int(match[1]) == 0:
            findings.append(_not_understood("Cut", value, where, 'Write "2 pair of main".'))
            continue
        cuts.append(Cut(int(match[1]), _name(match[3] or ""), Lay(match[2])))
    quantity = block.value("quantity")
    if block.values("cut") or not quantity:
        return tuple(cuts)
    if not _COUNT.fullmatch(quantity) or int(quantity) == 0:
        findings.append(
            _not_understood("Quantity", quantity, where, "How many to cut is left open.")
        )
        return ()
    count, cloth = int(quantity), _name(block.value("material"))
    if on_fold or count == 1:
        return (Cut(count, cloth, Lay.FOLD if on_fold else Lay.COPIES),)
    findings.append(
        _not_understood(
            "Quantity",
            quantity,
            where,
            "It does not say whether the pieces are mirrored pairs or all the same way up, so "
            "how many to cut is left open.",
        )
    )
    return ()


def edge_texts_of(block: Block, where: str, findings: list[Finding]) -> list[EdgeText]:
    """The edges that texts such as "Edge A: fold, centre front" name, in the order of the file."""
    found: list[EdgeText] = []
    for field in block.fields:
        match = _EDGE.fullmatch(field.key)
        lies, _, name = field.value.partition(", ")
        if match and not match[2] and lies in tuple(Lies) and len(found) < _EDGES:
            found.append(
                EdgeText(
                    match[1].upper(),
                    field.at,
                    Lies(lies),
                    _name(name),
                    allowance_of(block, f"{field.key} allowance", where, findings),
                    _corners(block, f"{field.key} corners", where, findings),
                )
            )
    return found


def _corners(block: Block, key: str, where: str, findings: list[Finding]) -> Finish | None:
    value = block.value(key).lower()
    if value and value not in tuple(Finish):
        findings.append(_not_understood(key, value, where, f"Known are {', '.join(Finish)}."))
        return None
    return Finish(value) if value else None


def notes_of(block: Block, where: str, findings: list[Finding]) -> tuple[str, ...]:
    """The maker's words: fields "Note" and "Annotation", and texts that are no field."""
    notes = [f.value[:TEXT_LIMIT] for f in block.fields if f.key in ("note", "annotation", "")]
    notes = [note for note in notes if note]
    if len(notes) > _NOTES:
        findings.append(
            Finding(
                "notes-left-out",
                Severity.WARNING,
                where,
                f"The piece has {len(notes)} texts; the first {_NOTES} were kept. Read the others "
                "in the file.",
            )
        )
    return tuple(notes[:_NOTES])


def unused_keys(block: Block) -> Sequence[str]:
    """Keys of fields that were not used, in the order of the file."""
    keys = dict.fromkeys(f.key for f in block.fields if f.key and f.value)
    return [key for key in keys if key not in _OWN and not _EDGE.fullmatch(key)]


def _name(value: str) -> str:
    return value[:NAME_LIMIT].strip()


def _not_understood(key: str, value: str, where: str, what: str) -> Finding:
    return Finding(
        f"{key.lower().split()[-1]}-not-understood",
        Severity.WARNING,
        f"{where}, text {key}",
        f'"{value[:60]}" is not understood. {what}',
    )
