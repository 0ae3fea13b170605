"""``python -m engrave``."""

import sys

from engrave.cli import main

if __name__ == "__main__":
    sys.exit(main())
