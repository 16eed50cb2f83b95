"""``blocksheet notes``: what goes with the sheets, to be read before cutting."""

from __future__ import annotations

from pathlib import Path

import click

from tiler.cli.telling import quoted, tell, tell_findings
from tiler.job.notes import KINDS, NOTE_PAPERS, UNITS, NoteWishes


@click.command("notes")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--sheets",
    type=click.Path(path_type=Path, dir_okay=False),
    multiple=True,
    metavar="FILE.pdf",
    help="A published PDF of it; may be given again. It is proven, and the notes tell its paper, "
    "how to tape it, and every sign on its pages.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="Folder for the files.",
)
@click.option(
    "--language", default="en", show_default=True, metavar="TAG", help="Such as en, de or uk."
)
@click.option(
    "--as",
    "kinds",
    type=click.Choice(KINDS),
    multiple=True,
    default=KINDS,
    show_default=True,
    help="What to write; may be given again.",
)
@click.option(
    "--units",
    type=click.Choice(UNITS),
    default="both",
    show_default=True,
    help="In which units lengths are told.",
)
@click.option(
    "--paper",
    type=click.Choice(NOTE_PAPERS),
    default="a4",
    show_default=True,
    help="What the PDF is set on.",
)
@click.option(
    "--private", is_flag=True, help="Leave out who made the pattern and what it was traced from."
)
def notes_command(
    pattern: Path,
    sheets: tuple[Path, ...],
    out: Path,
    language: str,
    kinds: tuple[str, ...],
    units: str,
    paper: str,
    private: bool,
) -> None:
    """Write the notes: cloth, cutting, which notches meet, sewing, cautions, every sign explained.

    The words are those of the language; what the maker wrote stays in the maker's words.
    """
    from tiler.job.notes import facts_of, write_notes
    from tiler.job.reading import read

    found = read(pattern)
    facts = facts_of(found, tuple(dict.fromkeys(sheets)))
    wishes = NoteWishes(
        language.strip().lower(), units, paper, tuple(dict.fromkeys(kinds)), private
    )
    written = write_notes(found, pattern, facts, out, wishes)
    tell_findings((*found.findings, *written.findings))
    for file in written.files:
        tell(str(file))
    if sheets:
        tell(f"Next: read {written.files[0]} before you print the sheets.")
    else:
        tell(
            f"Next: blocksheet publish {quoted(pattern)} --on a4; give the PDF to this command "
            "with --sheets, and the notes tell how to tape it."
        )
