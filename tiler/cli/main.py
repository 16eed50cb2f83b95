"""``blocksheet``: commands and options, one obvious next step after each."""

from __future__ import annotations

import signal
import sys
from contextlib import suppress
from typing import NoReturn

import click

from tiler import __version__
from tiler.cli.commands import Commands
from tiler.cli.telling import tell
from tiler.pattern.errors import BlocksheetError, ExitCode, Terminated

#: Seconds until a request to stop is made again.
_AGAIN = 0.5


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Start with: blocksheet look demo:smock --picture smock.png",
)
@click.version_option(__version__, prog_name="blocksheet")
def main() -> None:
    """From a traced block to sheets of paper at true size, proven.

    PATTERN is a folder with a pattern.toml, a single SVG drawing, a table of measured points
    (.csv), a DXF file (ASTM D6673), or a demo (demo:smock, demo:apron, demo:trousers, demo:hat).
    """


def run() -> NoReturn:
    """Run the command; every known error becomes one message and its exit code."""
    # A terminal that closes or a service that is stopped leaves as little behind as Ctrl-C.
    for name in ("SIGTERM", "SIGHUP", "SIGALRM"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _stop)
    code: object = ExitCode.DONE
    try:
        code = main.main(standalone_mode=False)
    except BlocksheetError as error:
        code = _failed(str(error), error.exit_code)
    except click.exceptions.Exit as leaving:
        code = leaving.exit_code
    except (click.Abort, KeyboardInterrupt):
        code = _failed("stopped before anything was written", ExitCode.BAD_INPUT)
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        code = ExitCode.BAD_INPUT
    except click.UsageError as error:
        name = error.ctx.command_path if error.ctx else "blocksheet"
        code = _failed(f"{error.format_message()} See '{name} --help'.", ExitCode.BAD_INPUT)
    except MemoryError:
        code = _failed("there is not enough memory for this pattern", ExitCode.BAD_INPUT)
    except UnicodeEncodeError as error:
        told = f"the system takes no name with the letter {error.object[error.start]!a}; "
        code = _failed(f"{told}set its language to one with UTF-8", ExitCode.BAD_INPUT)
    except OSError as error:
        code = _failed(f"the system refuses: {error.strerror or error}", ExitCode.BAD_INPUT)
    except SystemExit:
        # click leaves like this when the pipe that its help goes into is closed.
        code = ExitCode.DONE
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, 0)
    sys.exit(code if isinstance(code, int) else ExitCode.DONE)


def _stop(_number: int, _frame: object) -> NoReturn:
    # A library that catches everything would swallow this one: it is asked again until it works.
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, _AGAIN)
    raise Terminated


def _failed(message: str, code: ExitCode) -> ExitCode:
    """Say what was wrong, if there is anybody to say it to."""
    with suppress(BlocksheetError):
        tell(f"blocksheet: {message}", err=True)
    return code
