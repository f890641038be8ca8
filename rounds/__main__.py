"""`python -m rounds` and the command `rounds`."""

import sys

from rounds.cli.main import main

__all__ = ["main"]

if __name__ == "__main__":
    sys.exit(main())
