"""`python -m tracegraph` is the command `tracegraph`."""

import sys

from tracegraph.cli import main

if __name__ == "__main__":
    sys.exit(main())
