"""``python -m engrave``."""

from engrave.cli import run

if __name__ == "__main__":
    run()
