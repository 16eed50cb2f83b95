"""The commands in the order of the work, each read from its file only when it is asked for."""

from __future__ import annotations

from importlib import import_module

import click

#: Name -> module, name in it, and the line that ``blocksheet --help`` shows.
COMMANDS = {
    "targets": ("targets", "targets_command", "Write cards to photograph a paper tracing with."),
    "capture": (
        "capturing",
        "capture_command",
        "Begin a pattern folder from photos or scans of a tracing.",
    ),
    "new": ("starting", "new_command", "Begin a pattern folder from drawings."),
    "look": (
        "inspecting",
        "look_command",
        "Show pieces, edges with letters and lengths, marks, area.",
    ),
    "check": (
        "inspecting",
        "check_command",
        "Walk the seams and check the pattern as a drafter would.",
    ),
    "publish": ("publish", "publish_command", "Write a PDF for each paper and prove it."),
    "prove": ("inspecting", "prove_command", "Measure a published PDF against its pattern."),
    "cloth": ("cloth", "cloth_command", "Lay the pieces on cloth, and tell how much to buy."),
    "notes": ("notes", "notes_command", "Write the notes that go with the sheets."),
    "give": (
        "giving",
        "give_command",
        "Pack sheets, notes, lay plans and pattern for a friend.",
    ),
    "open": (
        "opening",
        "open_command",
        "Take the pattern out of a published PDF or a bundle.",
    ),
    "export": ("inspecting", "export_command", "Write a DXF file, or a pattern folder."),
    "scale": ("scaling", "scale_command", "Tell how true a printer prints, and keep its scale."),
    "studio": ("studio", "studio_command", "Do all of it on a page in the browser."),
    "mat": (
        "mats",
        "mat_group",
        "Projector: keep mats, write the grid, tell where the picture lies.",
    ),
}


class Commands(click.Group):
    """A group of which ``--help`` reads no more than the table."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """In the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, from its own file."""
        if cmd_name not in COMMANDS:
            return None
        module, name, _ = COMMANDS[cmd_name]
        command: click.Command = getattr(import_module(f"tiler.cli.{module}"), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands on the help page."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, short) for name, (_, _, short) in COMMANDS.items()])
