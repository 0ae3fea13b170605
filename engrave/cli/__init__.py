"""The command line: words parsed, results printed, exit codes chosen."""

from engrave.machine.methods import keep_methods

keep_methods()  # before any class of ours is made

from engrave.cli.commands import main, run  # noqa: E402

__all__ = ["main", "run"]
