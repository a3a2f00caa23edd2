"""`python -m simplant` is the same as `simplant`."""

import sys

from simplant.cli import main

if __name__ == "__main__":
    sys.exit(main())
