"""The way in: the screen without arguments, the command line with them. Standard library only at first."""

from __future__ import annotations

import os
import sys

from claybench import __version__, cli, tui


def main(argv: list[str] | None = None) -> int:
    """Run claybench; returns the exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if arguments == ["--version"]:
        sys.stdout.write(f"claybench {__version__}\n")
        return 0
    lab, rest = take_lab(arguments)
    if lab == "":
        # An empty name, as from an unset variable, must not lead to the default lab.
        sys.stderr.write("--lab needs the path or the address of a lab.\n")
        return 2
    if not rest:
        return tui.main.run_notebook(lab)
    os.environ.setdefault("TYPER_USE_RICH", "0")
    return cli.app.run_command(rest, lab)


def take_lab(arguments: list[str]) -> tuple[str | None, list[str]]:
    """`--lab L`, wherever it stands ("" where nothing follows), else `CLAYBENCH_LAB`; and the other arguments."""
    lab = os.environ.get("CLAYBENCH_LAB") or None
    rest: list[str] = []
    waiting = iter(arguments)
    for argument in waiting:
        if argument == "--":
            rest += [argument, *waiting]
        elif argument == "--lab":
            lab = next(waiting, "")
        elif argument.startswith("--lab="):
            lab = argument.removeprefix("--lab=")
        else:
            rest.append(argument)
    return lab, rest


if __name__ == "__main__":
    sys.exit(main())
