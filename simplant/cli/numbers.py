"""Numbers and times on the command line, so that what is wrong with one names its option.

Rule: what is to be run is at least one; a campaign of nothing would pass and show nothing.
"""

from argparse import ArgumentTypeError

from simplant.errors import UsageError
from simplant.timebase import Ns, duration


def at_least_one(text: str) -> int:
    """Read a whole number from 1 on."""
    if not text.isdecimal() or int(text) < 1:
        raise ArgumentTypeError(f"{text!r} is no whole number from 1 on")
    return int(text)


def a_time(text: str) -> Ns:
    """Read a time such as `250ms` or `1h 30m`."""
    try:
        return duration(text)
    except UsageError as error:
        raise ArgumentTypeError(str(error)) from None


def a_period(text: str) -> Ns:
    """Read the period of a scan: a time that is not 0."""
    period = a_time(text)
    if period <= 0:
        raise ArgumentTypeError("the scan period is 0. Write for instance --scan 10ms.")
    return period
