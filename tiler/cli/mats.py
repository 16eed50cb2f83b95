"""``blocksheet mat``: mats under a projector, from the grid to where the picture lies."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.telling import quoted, tell
from tiler.cli.values import LENGTH
from tiler.pattern.errors import ProjectionError
from tiler.pattern.units import format_inch, format_mm, parse_length

if TYPE_CHECKING:
    from tiler.job.mats import Measured
    from tiler.layout.mats.mat import Mat

#: Questions, in the order in which the lines are numbered in the grid.
_QUESTIONS = {
    "lower": "1 lower side",
    "right": "2 right side",
    "upper": "3 upper side",
    "left": "4 left side",
    "rising": "5 rising diagonal",
    "falling": "6 falling diagonal",
    "middle-level": "7 level middle line (Enter: leave out)",
    "middle-upright": "8 upright middle line (Enter: leave out)",
}
_UNIT = re.compile(r"[a-zA-Z\"”″]+\s*$")


@click.group("mat")
def mat_group() -> None:
    """Set up a projector over a cutting mat.

    Make a mat (new), show its grid at full screen (grid), measure the grid on the mat (measure).
    Then pieces are shown in true size with blocksheet publish PATTERN --on mat:NAME.
    """


@mat_group.command("new", short_help="Keep a mat: the projector's pixels, the mat's size.")
@click.argument("name")
@click.option(
    "--pixels",
    required=True,
    metavar="WxH",
    help="The projector's own (native) pixels, such as 1920x1080.",
)
@click.option(
    "--size", required=True, metavar="SIZE", help='Of the mat, such as "1200 mm x 700 mm".'
)
def new_command(name: str, pixels: str, size: str) -> None:
    """Keep a mat under NAME, your own word for it."""
    from tiler.job.mats import new_mat

    mat = new_mat(name, pixels, size)
    tell(f"Kept: {_told(mat)}")
    tell(f"Next: blocksheet mat grid {quoted(mat.name)}")


@mat_group.command("list", short_help="Tell which mats are kept.")
def list_command() -> None:
    """Tell which mats are kept, and which were measured."""
    from tiler.job.mats import mats

    kept = mats()
    for mat in kept:
        tell(_told(mat))
    if not kept:
        tell("No mat is kept yet.")
        tell('Next: blocksheet mat new NAME --pixels 1920x1080 --size "1200 mm x 700 mm"')
        return
    unmeasured = [mat for mat in kept if mat.corners is None]
    if unmeasured:
        tell(f"Next: blocksheet mat grid {quoted(unmeasured[0].name)}")
    else:
        tell(_publish(kept[-1]))


@mat_group.command("forget", short_help="Keep a mat no longer.")
@click.argument("name")
def forget_command(name: str) -> None:
    """Keep the mat NAME no longer."""
    from tiler.job.mats import forget_mat

    tell(f"Forgotten: {forget_mat(name)}")
    tell("Next: blocksheet mat list")


@mat_group.command("grid", short_help="Write the grid to be shown and measured.")
@click.argument("name")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="Folder for the files.",
)
def grid_command(name: str, out: Path) -> None:
    """Write the grid of the mat NAME: a PNG at the projector's own pixels, and a PDF."""
    from tiler.job.mats import find_mat, write_grid

    mat = find_mat(name)
    for file in write_grid(mat, out):
        tell(str(file))
    tell("Show it at full screen, one dot of it on one pixel, and do what it says.")
    tell("Caution: do not look into the beam or the lens; follow the makers' manuals.")
    tell(f"Next: blocksheet mat measure {quoted(mat.name)}")


@mat_group.command("measure", short_help="Tell where the picture lies, from measured lengths.")
@click.argument("name")
@click.option("--lower", type=LENGTH, help="Line 1, lower left to lower right.")
@click.option("--right", type=LENGTH, help="Line 2, lower right to upper right.")
@click.option("--upper", type=LENGTH, help="Line 3, upper right to upper left.")
@click.option("--left", type=LENGTH, help="Line 4, upper left to lower left.")
@click.option("--rising", type=LENGTH, help="Line 5, lower left to upper right.")
@click.option("--falling", type=LENGTH, help="Line 6, upper left to lower right.")
@click.option(
    "--middle-level",
    type=LENGTH,
    help="Line 7, between the middles of the left and the right side. It may be left out, but "
    "lines 7 and 8 are worth it: with them a wrong number rarely goes unnamed.",
)
@click.option(
    "--middle-upright",
    type=LENGTH,
    help="Line 8, between the middles of the lower and the upper side.",
)
@click.option(
    "--noise",
    type=LENGTH,
    help="How far a length that you measure is off as a rule.  [default: 1 mm]",
)
def measure_command(name: str, noise: float | None, **said: float | None) -> None:
    """Tell where the picture lies on the mat NAME, and keep it.

    Measure from the middle of one ringed cross to the middle of the other, with the cloth's
    thickness under the tape if you can. What is not given is asked for.
    """
    from tiler.job.mats import find_mat, measure_mat

    mat = find_mat(name)
    known = {key.replace("_", "-"): length for key, length in said.items() if length is not None}
    asked = any(key not in known for key in _QUESTIONS if not key.startswith("middle"))
    lengths = _asked(known) if asked else known
    try:
        found = measure_mat(mat.name, lengths, noise)
    except ProjectionError:
        if asked:
            options = " ".join(f"--{key} {length:g}mm" for key, length in lengths.items())
            tell(f"You said: blocksheet mat measure {quoted(mat.name)} {options}", err=True)
        raise
    _tell_measured(found)


def _asked(known: dict[str, float]) -> dict[str, float]:
    """The lengths that were given, and answers for the others; a unit is said once."""
    from tiler.cli.asking import ask_until

    unit = ""
    tell("Measure from the middle of one ringed cross to the middle of the other, tape taut.")
    lengths: dict[str, float] = {}
    for key, question in _QUESTIONS.items():
        if key in known:
            lengths[key] = known[key]
            continue
        optional = key.startswith("middle")

        def read(words: str, optional: bool = optional) -> float | None:
            nonlocal unit
            if optional and not words.strip():
                return None
            written = words if _UNIT.search(words) else f"{words} {unit}".strip()
            length = parse_length(written)
            match = _UNIT.search(written)
            unit = match[0].strip() if match else unit
            return length

        length = ask_until(question, read, "" if optional else None)
        if length is not None:
            lengths[key] = length
    return lengths


def _tell_measured(found: Measured) -> None:
    mat, accuracy = found.mat, found.accuracy
    worst = max(found.residuals, key=lambda key: abs(found.residuals[key]))
    tell(
        f"The lengths fit together within {format_mm(found.misfit)}"
        f" (most in {_QUESTIONS[worst].split(' (')[0][2:]}: "
        f"{format_mm(abs(found.residuals[worst]))})."
    )
    usable = found.usable
    tell(
        f"Usable: {format_mm(usable.width, 0)} x {format_mm(usable.height, 0)} "
        f"({format_inch(usable.width)} x {format_inch(usable.height)}) of a mat of "
        f"{format_mm(mat.width, 0)} x {format_mm(mat.height, 0)}."
    )
    places = ("lower left", "lower right", "upper right", "upper left")
    sizes = ", ".join(
        f"{place} {format_mm(size, 2)}"
        for place, size in zip(places, accuracy.pixel_sizes, strict=True)
    )
    tell(f"One pixel: {sizes}.")
    tell(f"Thinnest line that is seen everywhere: {format_mm(accuracy.smallest_line)}.")
    tell(
        f"Expect about {format_mm(accuracy.error)} off at the worst corner, "
        "seldom more than twice that."
    )
    tell(f"Kept in {found.file}. Measure anew whenever projector or mat have moved.")
    tell(_publish(mat))


def _told(mat: Mat) -> str:
    state = "not measured yet" if mat.corners is None else "measured"
    return (
        f"{mat.name}: {mat.width_px} x {mat.height_px} pixels, "
        f"{format_mm(mat.width)} x {format_mm(mat.height)}, {state}"
    )


def _publish(mat: Mat) -> str:
    return f"Next: blocksheet publish PATTERN --on {quoted(f'mat:{mat.name}')}"
