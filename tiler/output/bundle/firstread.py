"""The page that is read first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.output.bundle.texts import headed, plain_text
from tiler.pattern.model import Pattern
from tiler.sheets.words import say


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """One file to print.

    Args:
        file: Its path in the bundle.
        paper: What it is called; of a roll, how wide it is.
        roll: Whether it is a roll.
        front: Pages before those with the pattern.
        pages: Pages with the pattern.
        worst: The largest deviation that the proof has found, millimetres.
    """

    file: str
    paper: str
    front: int
    pages: int
    worst: float
    roll: bool = False


@dataclass(frozen=True, slots=True)
class BundleFacts:
    """What the page tells.

    Args:
        sheets: The files to print.
        notes: The path of the notes to print; empty for none.
        lays: The paths of the lay plans to print.
        sums: The path of the list of checksums.
        pattern: What to give the command to go on with, as a shell takes it; empty when the maker
            has kept the pattern.
    """

    sheets: tuple[SheetFacts, ...]
    notes: str
    lays: tuple[str, ...]
    sums: str
    pattern: str


def first_read(pattern: Pattern, facts: BundleFacts, language: str) -> bytes:
    """Unpack, print, check, read, cut; what one may do; where the pattern is.

    Args:
        pattern: What is given, as it may be told.
        facts: What is in the bundle.
        language: One of `languages()`.
    """
    return plain_text(list(_blocks(pattern, facts, language)))


def _blocks(pattern: Pattern, facts: BundleFacts, language: str) -> Sequence[str]:
    files = "\n".join(_sheet(sheet, language) for sheet in facts.sheets)
    worst = max(0.001, *(sheet.worst for sheet in facts.sheets))
    told = f"{worst:.3f}".replace(".", say("bundle_point", language))
    tiled = any(sheet.front for sheet in facts.sheets)
    large = not all(sheet.front for sheet in facts.sheets)
    several = "bundle_print" if len(facts.sheets) > 1 else "bundle_print_one"
    blocks = [
        f"{pattern.title}\n{'=' * min(len(pattern.title), 60)}",
        _whose(pattern, language),
        pattern.about,
        headed("unpack", language),
        f"{say('bundle_print_head', language)}\n{say(several, language)}",
        files,
        say("bundle_sheets_speak", language),
        say("bundle_check", language) if tiled else "",
        say("bundle_check_large", language) if large else "",
        say("bundle_proven", language, worst=told),
        headed("read", language, notes=facts.notes) if facts.notes else "",
        headed("lay", language) if facts.lays else "",
        "\n".join(f"  {file}" for file in facts.lays),
        headed("may", language),
        headed("own", language, pattern=facts.pattern)
        if facts.pattern
        else headed("kept", language),
        headed("whole", language, sums=facts.sums),
    ]
    return [block for block in blocks if block]


def _whose(pattern: Pattern, language: str) -> str:
    said = [say("bundle_maker", language, maker=pattern.maker)] if pattern.maker else []
    if pattern.version:
        said.append(say("bundle_version", language, version=pattern.version))
    said.append(say("bundle_digest", language, digest=pattern.digest))
    if pattern.handover.address:
        said.append(say("bundle_address", language, address=pattern.handover.address))
    return "\n".join(said)


def _sheet(sheet: SheetFacts, language: str) -> str:
    key = "bundle_sheet" if sheet.front else "bundle_sheet_large"
    return "  " + say(
        key,
        language,
        file=sheet.file,
        paper=say("bundle_roll", language, size=sheet.paper) if sheet.roll else sheet.paper,
        front=sheet.front,
        pages=sheet.pages,
        total=sheet.front + sheet.pages,
    )
