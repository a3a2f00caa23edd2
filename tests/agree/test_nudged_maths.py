"""Golden traces do not depend on the last bit of a mathematics library, nor on the seed of hashing.

Libraries differ in the last place of exp, sin and the like; crossings are rounded up to a microsecond and states
snapped to their thresholds, so no trace may. Rule: the functions are changed before simplant is loaded, so every
place that uses one has the changed one; square roots are exact everywhere and stay.
"""

import os
import subprocess
import sys

import pytest

NUDGED = """
import math, sys
from math import nextafter

def nudged(function, to):
    def other(*args):
        value = function(*args)
        return nextafter(value, to) if args != (0.0,) else value
    return other

for name in ("exp", "expm1", "log", "log1p", "sin", "cos", "tan", "atan", "pow"):
    setattr(math, name, nudged(getattr(math, name), float(sys.argv[1])))

from math import exp
assert exp(1.0) != 2.718281828459045
from simplant.cli.main import main
sys.exit(main(["replay", "scenarios"]))
"""


@pytest.mark.slow
@pytest.mark.parametrize(("to", "hash_seed"), [("inf", "1"), ("-inf", "2")])
def test_goldens_hold_with_the_last_place_changed(to, hash_seed):
    """Every scenario has its stored trace, byte for byte, with each result one unit in the last place up, or down."""
    environment = os.environ | {"PYTHONHASHSEED": hash_seed, "PYTHONPATH": ".", "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, "-c", NUDGED, to], env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "scenarios as expected" in done.stdout
