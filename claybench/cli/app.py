"""The command line: its commands by group, and what happens when one fails."""

from __future__ import annotations

import os
import sys
from functools import cache

import typer

from claybench.cli import (
    ask,
    bodies,
    compare,
    faulty,
    figure,
    labs,
    mix,
    papers,
    plan,
    reading,
    sets,
    slab_figures,
    testing,
    trace,
)
from claybench.cli.common import State
from claybench.errors import ClaybenchError, FaultyFolder

app = typer.Typer(
    name="claybench",
    help="A clay-testing lab notebook centred on plaster slabs. Without a command it opens on the screen.",
    no_args_is_help=False,
    add_completion=False,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"]},
    epilog="--lab L (or CLAYBENCH_LAB) names another lab, before or after the command.",
)
labs.add_to(app)
ask.add_to(app)
bodies.add_to(app)
compare.add_to(app)
faulty.add_to(app)
papers.add_to(app)
reading.add_to(app)
plan.add_to(app)
sets.add_to(app)
testing.add_to(app)
trace.add_to(app)
slab_figures.add_to(figure.app)
app.add_typer(mix.app, name="mix")
app.add_typer(figure.app, name="figure")


@app.callback(invoke_without_command=True)
def _start(
    context: typer.Context, version: bool = typer.Option(False, "--version", help="Print the version and exit.")
) -> None:
    if version:
        from claybench import __version__

        typer.echo(f"claybench {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        from claybench.tui.main import run

        raise typer.Exit(run(context.obj.lab))


_QUICK = frozenset(each.name for each in app.registered_commands) | {"mix", "figure"}
"""Commands that need no act's declaration."""


@cache
def whole_app() -> typer.Typer:
    """The program with the commands of the acts, which cost a declaration each and are made when one may be meant."""
    from claybench.cli import acts

    acts.add_to(app)
    return app


def run_command(arguments: list[str], lab: str | None) -> int:
    """Run one command; errors become two lines on stderr and an exit code."""
    command = typer.main.get_command(app if arguments and arguments[0] in _QUICK else whole_app())
    try:
        found = command.main(args=arguments, prog_name="claybench", standalone_mode=False, obj=State(lab))
        sys.stdout.flush()
    except ClaybenchError as error:
        _tell(error)
        return error.exit_code
    except typer.Abort:
        sys.stderr.write("Stopped.\n")
        return 130
    except KeyboardInterrupt:
        sys.stderr.write("Stopped; what was confirmed is saved.\n")
        return 130
    except BrokenPipeError:
        return _reader_left()
    except OSError as error:
        _tell(ClaybenchError(f"{error.filename or 'A file'}: {error.strerror or error}.", "Choose another place."))
        return 1
    except SystemExit as stopped:
        if isinstance(stopped.__context__, BrokenPipeError):
            return _reader_left()
        raise
    except Exception as error:
        if hasattr(error, "show") and hasattr(error, "exit_code"):  # a usage error of the command-line library
            error.show()
            return int(error.exit_code)
        raise
    return found if isinstance(found, int) else 0


def _reader_left() -> int:
    """The reader went away, as `head` does: nothing to say, and nothing more to write, at the very end neither."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.__stdout__.fileno() if sys.__stdout__ is not None else 1)
    return 0


def _tell(error: ClaybenchError) -> None:
    sys.stderr.write(f"{error.title}: {error.reason}\n")
    if isinstance(error, FaultyFolder):
        for fault in error.faults:
            sys.stderr.write(f"  {fault}\n")
    if error.remedy:
        sys.stderr.write(f"{error.remedy}\n")
