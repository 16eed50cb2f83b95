"""``publish --on mat:NAME``: options for a mat, and what has become of a set."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from tiler.cli.telling import tell
from tiler.cli.values import LENGTH
from tiler.job.projecting import GROUNDS, HALVES, Showing

if TYPE_CHECKING:
    from tiler.job.projecting import Projected

_OPTIONS = (
    click.option(
        "--line",
        type=LENGTH,
        default=f"{Showing.line:g} mm",
        show_default=True,
        help="On a mat, how wide a cut line is; never thinner than what is seen everywhere.",
    ),
    click.option(
        "--ground",
        type=click.Choice(GROUNDS),
        default=Showing.ground,
        show_default=True,
        help="On a mat: light lines on dark ground, or dark lines on light ground.",
    ),
    click.option("--mirrored", is_flag=True, help="On a mat, show pieces from their wrong side."),
    click.option(
        "--any-turn",
        is_flag=True,
        help="On a mat, turn pieces for fewer windows, their grain not along its long side.",
    ),
    click.option(
        "--halves",
        type=click.Choice(HALVES),
        default=Showing.halves,
        show_default=True,
        help="On a mat, half pieces as the pattern sets them for paper, all folded or all opened.",
    ),
    click.option(
        "--one-by-one", is_flag=True, help="On a mat, show each piece in a window of its own."
    ),
)


def showing_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options for a mat; the command gets them together as ``showing``."""

    @functools.wraps(command)
    def gathered(
        *args: Any,
        line: float,
        ground: str,
        mirrored: bool,
        any_turn: bool,
        halves: str,
        one_by_one: bool,
        **others: Any,
    ) -> Any:
        showing = Showing(line, ground, mirrored, any_turn, halves, one_by_one)
        return command(*args, showing=showing, **others)

    wrapped: Callable[..., Any] = gathered
    for option in reversed(_OPTIONS):
        wrapped = option(wrapped)
    return wrapped


def tell_projected(done: Projected) -> None:
    """Windows, what to expect of them, and what the proof found."""
    windows = len(done.windows)
    many = "1 window" if windows == 1 else f"{windows} windows"
    tell(f"{done.folder}: a first picture and {many}; {done.pdf.name} has the same as pages")
    tell(
        f"  Expect about {done.error:.1f} mm at the worst corner of the mat. "
        f"Cut lines are {done.line:.1f} mm wide: cut in their middle."
    )
    outcome = done.outcome
    tell(
        f"  Proven: {outcome.lines:,} lines in {many}, their middle measured at "
        f"{outcome.places:,} places, worst deviation {outcome.worst:.3f} mm on the mat."
    )
    tell(
        "  Take care: do not look into the beam, keep children and animals away, lay cables where "
        "nobody trips, follow the makers' manuals and your local rules."
    )


def next_on_mat(done: Projected) -> str:
    """The one obvious next step."""
    first = min(done.folder.glob("*.png"))
    return f"Next: show {first} over the whole screen of the projector and measure its squares."
