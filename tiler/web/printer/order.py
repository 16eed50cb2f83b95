"""What is to be printed, and how: the options of the command as fields of a form."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

from tiler.job.options import JOINTS, ORIENTATIONS, Surface
from tiler.job.projecting import GROUNDS, HALVES, Showing
from tiler.job.surfaces import MAT, ROLL, is_mat, mat_name, paper_of
from tiler.layout.packing.options import EFFORTS, GAP, Packing
from tiler.pattern.errors import BlocksheetError, LengthError
from tiler.pattern.units import parse_length
from tiler.web.lengths import as_written, bare, typed_length

if TYPE_CHECKING:
    from pathlib import Path

    from tiler.web.settings import Settings

#: Papers that are offered, the commonest first; large ones come from a copy shop.
SMALL = ("a4", "letter", "a3", "tabloid", "legal", "a5", "b4", "b5")
LARGE = ("a2", "a1", "a0", "b2", "b1", "b0")
#: Widths of usual rolls, as they are sold (common practice, no source).
ROLLS = {"mm": ("594 mm", "610 mm", "841 mm", "914 mm"), "in": ("24 in", "30 in", "36 in", "42 in")}
#: The map of the pages is made as such a picture.
MAP = "png"
_SEEDS = 1_000_000


class FieldError(BlocksheetError):
    """What is in a field cannot be.

    Args:
        error: Why.
        at: Name of the field.
    """

    def __init__(self, error: BlocksheetError, at: str) -> None:
        super().__init__(error.problem, where=error.where, remedy=error.remedy)
        self.at = at


@dataclass(frozen=True)
class Order:
    """What is asked for; the defaults are those of the command.

    Args:
        paper: As after ``--on``.
        orientation: As in `Surface`, like the next ones.
        margin: Millimetres.
        overlap: Millimetres.
        joint: One of `JOINTS`.
        printer: Name of a printer that is kept, or empty.
        panels: Whether pieces too large for a roll come in panels.
        one_length: Whether a roll is one page.
        styles: Chosen styles; empty for all.
        effort: As in `Packing`, like the next ones.
        seed: Number of the search.
        turn: Whether pieces may turn.
        small_whole: Whether what fits a page stays on one.
        gap: Millimetres.
        lay_anew: Whether places that are kept do not count.
        line: As in `Showing`, like the next ones: millimetres.
        ground: One of `GROUNDS`.
        mirrored: Whether pieces are shown from their other side.
        any_turn: Whether they may turn.
        halves: One of `HALVES`.
        one_by_one: Whether each has a window of its own.
    """

    paper: str = SMALL[0]
    orientation: str = ORIENTATIONS[0]
    margin: float = Surface.margin
    overlap: float = Surface.overlap
    joint: str = JOINTS[0]
    printer: str = ""
    panels: bool = False
    one_length: bool = False
    styles: tuple[str, ...] = ()
    effort: str = "normal"
    seed: int = 1
    turn: bool = True
    small_whole: bool = False
    gap: float = GAP
    lay_anew: bool = False
    line: float = Showing.line
    ground: str = Showing.ground
    mirrored: bool = False
    any_turn: bool = False
    halves: str = Showing.halves
    one_by_one: bool = False

    @property
    def on_mat(self) -> bool:
        """Whether it is for a projector."""
        return is_mat(self.paper)

    @property
    def mat(self) -> str:
        """The name of the mat."""
        return mat_name(self.paper)

    @property
    def roll(self) -> str:
        """The width of the roll as it is written; empty when it is none."""
        return self.paper[len(ROLL) :] if self.paper.startswith(ROLL) else ""

    @property
    def large(self) -> bool:
        """Whether whole pieces are laid on large paper."""
        return not self.on_mat and paper_of(self.paper).large

    @property
    def surface(self) -> Surface:
        """For the job."""
        return Surface(
            self.paper,
            self.orientation,
            self.margin,
            self.overlap,
            self.joint,
            self.panels,
            self.one_length,
            self.printer,
        )

    @property
    def packing(self) -> Packing:
        """For the job."""
        return Packing(self.effort, self.seed, self.turn, self.small_whole, self.gap)

    @property
    def laying(self) -> tuple[object, ...]:
        """All that the plan of the pages depends on; orders that are alike in it share one."""
        surface = replace(self.surface, joint=JOINTS[0])
        return surface, self.packing, self.styles, self.lay_anew

    def showing(self, pieces: tuple[str, ...]) -> Showing:
        """For the job, on a mat."""
        return Showing(
            self.line,
            self.ground,
            self.mirrored,
            self.any_turn,
            self.halves,
            self.one_by_one,
            self.styles,
            pieces,
        )

    def command(self, folder: Path, pieces: tuple[str, ...] = ()) -> str:
        """The command that writes the very same files."""
        words = ["blocksheet", "publish", str(folder), "--on", self.paper]
        usual = Order()
        for field in fields(self):
            value = getattr(self, field.name)
            if field.name in _OPTIONS and value != getattr(usual, field.name):
                option = _OPTIONS[field.name]
                words += [option] if isinstance(value, bool) else [option, _spelled(value)]
        for style in self.styles:
            words += ["--style", style]
        for piece in pieces:
            words += ["--piece", piece]
        if not self.on_mat:
            words += ["--map", MAP]
        return shlex.join([*words, "--out", str(folder / "sheets")])


_OPTIONS = {
    "orientation": "--orientation",
    "margin": "--margin",
    "overlap": "--overlap",
    "joint": "--joint",
    "printer": "--printer",
    "panels": "--panels",
    "one_length": "--one-length",
    "effort": "--effort",
    "seed": "--seed",
    "turn": "--no-turn",
    "small_whole": "--small-pieces-whole",
    "gap": "--gap",
    "lay_anew": "--lay-anew",
    "line": "--line",
    "ground": "--ground",
    "mirrored": "--mirrored",
    "any_turn": "--any-turn",
    "halves": "--halves",
    "one_by_one": "--one-by-one",
}


def order_of(said: Callable[[str, str], str], styles: tuple[str, ...], settings: Settings) -> Order:
    """An order as a form or an address says it.

    Args:
        said: Gives a field by its name, or the default.
        styles: Chosen styles.
        settings: Whose unit a bare number has.

    Raises:
        FieldError: A field says what cannot be.
    """
    usual = Order()

    def one_of(name: str, known: tuple[str, ...]) -> str:
        chosen = said(name, getattr(usual, name))
        return chosen if chosen in known else str(getattr(usual, name))

    def length(name: str) -> float:
        default: float = getattr(usual, name)
        words = said(name, "")
        # What stood in the field before anybody typed means the default to the last digit.
        if not words or words == bare(default, settings.units):
            return default
        try:
            return typed_length(words, settings.units)
        except LengthError as error:
            raise FieldError(error, name) from None

    def ticked(name: str) -> bool:
        return bool(said(name, ""))

    seed = said("seed", "1")
    return Order(
        paper=_paper(said, settings),
        orientation=one_of("orientation", ORIENTATIONS),
        margin=length("margin"),
        overlap=length("overlap"),
        joint=one_of("joint", JOINTS),
        printer=said("printer", ""),
        panels=ticked("panels"),
        one_length=ticked("one_length"),
        styles=styles,
        effort=one_of("effort", EFFORTS),
        seed=min(int(seed[:20]), _SEEDS) if seed.isascii() and seed.isdigit() else 1,
        turn=not ticked("no_turn"),
        small_whole=ticked("small_whole"),
        gap=length("gap"),
        lay_anew=ticked("lay_anew"),
        line=length("line"),
        ground=one_of("ground", GROUNDS),
        mirrored=ticked("mirrored"),
        any_turn=ticked("any_turn"),
        halves=one_of("halves", HALVES),
        one_by_one=ticked("one_by_one"),
    )


def _paper(said: Callable[[str, str], str], settings: Settings) -> str:
    word = said("paper", Order.paper)
    if is_mat(word):
        return f"{MAT}{mat_name(word)}"
    if word == ROLL.rstrip(":"):
        width = said("roll", "") or ROLLS[settings.units][-1]
        word = ROLL + as_written(width, settings.units)
        at = "roll"
    else:
        at = "paper"
    try:
        paper_of(word)
    except BlocksheetError as error:
        raise FieldError(error, at) from None
    return word.lower()


def _spelled(value: object) -> str:
    if not isinstance(value, float):
        return str(value)
    short = f"{value:.6g} mm"
    return short if parse_length(short) == value else f"{value!r} mm"
