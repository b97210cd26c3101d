"""The program of commands, made from their tables, and what happens when one fails."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from importlib import import_module

import typer
from typer.core import TyperCommand, TyperGroup

from claybench import __version__, tui
from claybench.acts.registry import ACTS
from claybench.cli.commands import ANY_ROW, FIGURE, MIX, PROGRAM
from claybench.cli.state import State
from claybench.errors import ClaybenchError, FaultyFolder

_RECORD = "Record"
"""The heading of what records, where a help is printed with headings."""


class LateCommand(TyperCommand):
    """A command by its name and summary alone; the command itself is brought when it is called."""

    def __init__(self, name: str, summary: str, bring: Callable[[], Callable[..., None]], panel: str = "") -> None:
        super().__init__(name=name, help=summary, rich_help_panel=panel or None)
        self.bring = bring

    def load(self) -> TyperCommand:
        """The whole command, with its words and options."""
        alone = typer.Typer(add_completion=False, pretty_exceptions_enable=False)
        alone.command(self.name)(self.bring())
        command = typer.main.get_command(alone)
        assert isinstance(command, TyperCommand)
        return command


class LateGroup(TyperGroup):
    """A group of commands of which only the one that is called is loaded."""

    def resolve_command(self, ctx, args):  # type: ignore[no-untyped-def]
        """The command that is named, whole."""
        name, command, rest = super().resolve_command(ctx, args)
        return name, command.load() if isinstance(command, LateCommand) else command, rest


def late_command(name: str, where: str, summary: str, panel: str = "") -> LateCommand:
    """A command of a table of `cli.commands`."""

    def bring() -> Callable[..., None]:
        module, _, function = where.partition(":")
        brought: Callable[..., None] = getattr(import_module(f"claybench.cli.{module}"), function)
        return brought

    return LateCommand(name, summary, bring, panel)


def late_act(name: str, summary: str) -> LateCommand:
    """The command of an act."""

    def bring() -> Callable[..., None]:
        brought: Callable[..., None] = import_module("claybench.cli.record_acts").act_command(name)
        return brought

    return LateCommand(name, summary, bring, _RECORD)


def program() -> LateGroup:
    """The whole program: its commands in the order of the help, each still to be loaded."""
    app = typer.Typer(
        name="claybench",
        cls=LateGroup,
        help="A clay-testing lab notebook centred on plaster slabs. Without a command it opens on the screen.",
        no_args_is_help=False,
        invoke_without_command=True,
        callback=_start,
        add_completion=False,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["--help", "-h"]},
        epilog="--lab L (or CLAYBENCH_LAB) names another lab, before or after the command.",
    )
    group = typer.main.get_command(app)
    assert isinstance(group, LateGroup)
    for name, (where, summary) in PROGRAM.items():
        group.add_command(late_command(name, where, summary))
    for name, (_, summary) in ACTS.items():
        group.add_command(late_act(name, summary))
    for name, (where, summary) in ANY_ROW.items():
        group.add_command(late_command(name, where, summary, _RECORD))
    group.add_command(_group("mix", "Size a slab or a batch of slip, correct slip, blend bodies.", MIX))
    about = "A figure saved, or told in words: of bodies, slabs, forecasts, or three materials of a plan."
    group.add_command(_group("figure", about, FIGURE))
    return group


def _group(name: str, about: str, table: dict[str, tuple[str, str]]) -> LateGroup:
    commands = [late_command(each, where, summary) for each, (where, summary) in table.items()]
    return LateGroup(name=name, commands=commands, help=about, no_args_is_help=True)


def _start(
    context: typer.Context, version: bool = typer.Option(False, "--version", help="Print the version and exit.")
) -> None:
    if version:
        typer.echo(f"claybench {__version__}")
        raise typer.Exit
    if context.invoked_subcommand is None:
        raise typer.Exit(tui.main.run_notebook(context.obj.lab))


def run_command(arguments: list[str], lab: str | None) -> int:
    """Run one command; errors become two lines on stderr and an exit code."""
    try:
        done = program().main(args=arguments, prog_name="claybench", standalone_mode=False, obj=State(lab))
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
    return done if isinstance(done, int) else 0


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
