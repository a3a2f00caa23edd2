"""Numbers on the command line that count something.

Rule: what is to be run is at least one; a campaign of nothing would pass and show nothing.
"""

from argparse import ArgumentTypeError


def at_least_one(text: str) -> int:
    """Read a whole number from 1 on."""
    if not text.isdecimal() or int(text) < 1:
        raise ArgumentTypeError(f"{text!r} is no whole number from 1 on")
    return int(text)
