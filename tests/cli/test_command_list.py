"""The list of commands, and that each is found where the list says."""

from __future__ import annotations

import click
import pytest

from tiler.cli.commands import COMMANDS
from tiler.cli.main import main


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_goes_by_the_name_in_the_list(name: str) -> None:
    command = main.get_command(click.Context(main), name)
    assert command is not None
    assert command.name == name
    assert command.help


def test_the_list_is_in_the_order_of_the_work() -> None:
    names = main.list_commands(click.Context(main))
    assert names.index("new") < names.index("look") < names.index("publish") < names.index("give")


def test_there_is_no_other_command() -> None:
    assert main.get_command(click.Context(main), "sell") is None
