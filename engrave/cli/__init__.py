"""The command line: words parsed, results printed, exit codes chosen."""

from engrave.cli.commands import main

__all__ = ["main"]
