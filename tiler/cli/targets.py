"""``blocksheet targets``: cards to lay round a tracing before it is photographed."""

from __future__ import annotations

from pathlib import Path

import click

from tiler.cli.telling import tell
from tiler.cli.values import PAPER
from tiler.pattern.errors import ExitCode


@click.command("targets")
@click.option("--paper", type=PAPER, default="a4", show_default=True, help="a4, letter or larger.")
@click.option("--cards", type=int, default=4, show_default=True, help="How many; two on a page.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="The folder for the file.",
)
def targets_command(paper: str, cards: int, out: Path) -> ExitCode:
    """Write cards that are laid round a paper tracing to measure a photo of it.

    Print them at 100 %, measure the two long bars on the page, cut the cards out along the dashed
    lines, and lay four or more flat round the tracing. They can be used again and again.
    """
    from tiler.job.targets import targets_name, write_targets

    tell(f"{write_targets(paper, out / targets_name(paper), cards)}")
    tell("Print it at 100 %, let it dry, measure the two long bars, and cut the cards out.")
    tell("Mind your fingers: follow the manuals of scissors and cutter, and your local rules.")
    tell("Lay four or more flat round the tracing, wide apart, and photograph it from above.")
    tell("Next: blocksheet capture PHOTO --across LENGTH --up LENGTH --out DIR")
    return ExitCode.DONE
