"""``blocksheet check``: the bench check, as a list, as data and in pictures."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tiler.cli.telling import quoted, tell
from tiler.job import locate, read
from tiler.pattern.errors import ExitCode, FileError

if TYPE_CHECKING:
    from tiler.drafting.checks import Fault, Inspection
    from tiler.drafting.walking.measured import SeamWalk
    from tiler.pattern.model import Pattern

#: Characters in a line of the list.
WIDE = 96
#: A picture of an earlier check, by its name.
_PICTURE = re.compile(r"\d{2,}-[a-z]+(-[a-z]+)*\.(png|svg|pdf)")


def run_check(
    source: Path, *, as_data: bool, pictures: Path | None, kind: str, picture: Path | None
) -> ExitCode:
    """Check a pattern and tell what was found.

    Args:
        source: What to read.
        as_data: Print JSON instead of a list.
        pictures: The folder for one picture of each fault.
        kind: What those pictures are: png, svg or pdf.
        picture: The file for one picture of all pieces.

    Returns:
        FAULTY when something spoils the garment.

    Raises:
        BlocksheetError: The pattern cannot be read, or a picture cannot be written.
    """
    from tiler.drafting.checks import inspect

    pattern = read(source)
    found = inspect(pattern)
    _write(found, pattern, source, pictures, kind, picture)
    if as_data:
        import json

        tell(json.dumps(as_json(found, pattern), indent=2, ensure_ascii=False))
    else:
        _print(found, pattern)
        _print_end(found, source, pictures, kind, picture)
    return ExitCode.DONE if found.sound else ExitCode.FAULTY


def as_json(found: Inspection, pattern: Pattern) -> dict[str, Any]:
    """What was found as plain values: millimetres, degrees, shares (0.25 for 25 %).

    Places are points in the drawing of their piece, y up.
    """
    from tiler.drafting.checks import CHECKS

    severities = [fault.severity.value for fault in found.faults]
    return {
        "title": pattern.title,
        "maker": pattern.maker,
        "version": pattern.version,
        "digest": pattern.digest,
        "units": {"length": "mm", "angle": "degrees", "share": "1 is the whole"},
        "sound": found.sound,
        "counts": {word: severities.count(word) for word in ("error", "warning", "note")},
        "checks": list(CHECKS),
        "faults": [_fault(fault, number) for number, fault in enumerate(found.faults, start=1)],
        "seams": [_seam(walk) for walk in found.walks],
        "findings": [
            {"code": f.code, "severity": f.severity.value, "where": f.where, "text": f.text}
            for f in pattern.findings
        ],
    }


def _fault(fault: Fault, number: int) -> dict[str, Any]:
    from tiler.pattern.model import styles_in

    return {
        "number": number,
        "code": fault.code,
        "severity": fault.severity.value,
        "subject": fault.subject,
        "detail": fault.detail,
        "styles": list(styles_in(fault.style)),
        "text": fault.text,
        "remedy": fault.remedy,
        "numbers": {name: round(value, 4) for name, value in fault.numbers.items()},
        "places": [
            {
                "piece": spot.piece,
                "points": [[round(point.x, 3), round(point.y, 3)] for point in spot.points],
            }
            for spot in fault.spots
        ],
    }


def _seam(walk: SeamWalk) -> dict[str, Any]:
    one, other = walk.sides
    return {
        "name": walk.seam.name,
        "style": walk.style,
        "first": [str(edge) for edge in one.edges],
        "second": [str(edge) for edge in other.edges],
        "times": list(walk.seam.times),
        "first_mm": round(walk.totals[0], 3),
        "second_mm": round(walk.totals[1], 3),
        "difference_mm": round(walk.difference, 3),
        "ease_mm": list(walk.seam.ease),
        "first_notches_mm": [round(at, 3) for at in one.notches],
        "second_notches_mm": [round(at, 3) for at in other.notches],
    }


def _print(found: Inspection, pattern: Pattern) -> None:
    facts = [pattern.maker, f"version {pattern.version}" if pattern.version else ""]
    facts.append(f"pattern digest {pattern.digest}")
    tell(f"{pattern.title}  ({', '.join(fact for fact in facts if fact)})")
    if found.walks:
        tell("")
        _print_seams(found)
    subjects = dict.fromkeys(fault.subject for fault in found.faults)
    numbered = list(enumerate(found.faults, start=1))
    for subject in subjects:
        tell("")
        tell(subject)
        for number, fault in numbered:
            if fault.subject == subject:
                _print_fault(fault, number)
    if pattern.findings:
        tell("")
        tell("Noticed while reading and drafting")
        for finding in pattern.findings:
            _print_wrapped(f"     {finding.severity.value:<8} ", str(finding))


def _print_seams(found: Inspection) -> None:
    """Every seam with both lengths, one below the other."""
    from tiler.pattern.units import format_mm

    walks = _like(found.walks)
    names = [_shortened(name, 40) for name, _ in walks]
    width = max(26, *(len(name) for name in names))
    title = "Seams, mm on the stitch line"
    tell(f"{title:<{width + 2}}{'first':>10}{'second':>10}{'more':>9}   meant")
    for name, (_, walk) in zip(names, walks, strict=True):
        one, other = walk.totals
        least, most = walk.seam.ease
        meant = f"{least:g}" if least == most else f"{least:g} to {most:g}"
        more = f"{walk.difference:+.1f}" if abs(walk.difference) >= 0.05 else "0.0"
        off = "   <- " + format_mm(walk.off) if abs(walk.off) > 0.05 else ""
        tell(f"  {name:<{width}}{one:>10.1f}{other:>10.1f}{more:>9}   {meant}{off}")


def _like(walks: tuple[SeamWalk, ...]) -> list[tuple[str, SeamWalk]]:
    """Each seam with its name; styles in which it has the same lengths are told once."""
    told: dict[tuple[str, float, float], tuple[list[str], SeamWalk]] = {}
    for walk in walks:
        one, other = walk.totals
        key = walk.name, round(one, 2), round(other, 2)
        told.setdefault(key, ([], walk))[0].append(walk.style)
    several = {name for name, _, _ in told if sum(key[0] == name for key in told) > 1}
    return [
        (
            (walk.seam.name or walk.name)
            + (f", {' + '.join(styles)}" if walk.name in several and styles[0] else ""),
            walk,
        )
        for styles, walk in told.values()
    ]


def _print_fault(fault: Fault, number: int) -> None:
    place = fault.where.removeprefix(fault.subject).removeprefix(", ")
    head = f"{number:>3}  {fault.severity.value:<8} {fault.code}"
    tell(f"{head:<32} {place}".rstrip())
    indent = " " * 14
    _print_wrapped(indent, fault.text)
    _print_wrapped(indent, f"-> {fault.remedy}")


def _print_wrapped(first: str, text: str) -> None:
    import textwrap

    for line in textwrap.wrap(
        text,
        WIDE,
        initial_indent=first,
        subsequent_indent=" " * len(first),
        break_long_words=False,
        break_on_hyphens=False,
    ):
        tell(line)


def _print_end(
    found: Inspection, source: Path, pictures: Path | None, kind: str, picture: Path | None
) -> None:
    from tiler.sheets.finding import tally

    name = quoted(source)
    tell("")
    tell(f"Found: {tally(found.faults)}.")
    if picture:
        tell(f"Picture: {picture}")
    if pictures and found.faults:
        tell(f"Pictures: {pictures}, {_file_name(found.faults[0], 1, kind)} and on")
        for old in _older(found, pictures, kind):
            tell(f"note: {old} is from an earlier check; delete it.")
    if found.sound:
        tell(f"Next: blocksheet publish {name} --on a4")
    elif pictures:
        tell(f"Next: put number 1 right, then blocksheet check {name}")
    else:
        tell(f"Next: blocksheet check {name} --pictures faults")


def _write(
    found: Inspection,
    pattern: Pattern,
    source: Path,
    pictures: Path | None,
    kind: str,
    picture: Path | None,
) -> None:
    if pictures is None and picture is None:
        return
    from tiler.output.picture import write_picture
    from tiler.output.safely import writable
    from tiler.sheets.finding import draw_fault, draw_overview

    place = locate(source)
    folder = place if place.is_dir() else place.parent
    own = {(folder / file.name).resolve() for file in pattern.sources}
    targets = [pictures / name for name in _names(found, kind)] if pictures else []
    for target in [*targets, *([picture] if picture else [])]:
        if target.resolve() in own:
            raise FileError(
                "this file belongs to the pattern and is not written over",
                where=str(target),
                remedy="Choose another name or folder for the pictures.",
            )
    if picture:
        write_picture(draw_overview(found.faults, pattern), pattern.title, picture)
    if pictures:
        writable(pictures)
        for number, (fault, target) in enumerate(zip(found.faults, targets, strict=True), start=1):
            write_picture(draw_fault(fault, pattern, number), fault.where, target)


def _names(found: Inspection, kind: str) -> list[str]:
    return [_file_name(fault, number, kind) for number, fault in enumerate(found.faults, start=1)]


def _file_name(fault: Fault, number: int, kind: str) -> str:
    return f"{number:02d}-{fault.code}.{kind}"


def _older(found: Inspection, pictures: Path, kind: str) -> list[Path]:
    """Pictures in the folder that this check has not written."""
    new = set(_names(found, kind))
    return sorted(
        file
        for file in pictures.iterdir()
        if _PICTURE.fullmatch(file.name) and file.name not in new
    )


def _shortened(text: str, width: int) -> str:
    return text if len(text) <= width else text[: width - 1] + "…"
