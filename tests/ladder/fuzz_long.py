"""`python -m tests.ladder.fuzz_long FIRST LAST`: damaged drawings on plain seeds, for a night, not for CI.

The texts are fuzzed.py. Rule: a text that crashes, or takes more than `SLOW` seconds of a processor, is told.
"""

import sys
import time
from collections import Counter
from random import Random

from tests.ladder.fuzzed import read, text_of

SLOW = 5.0


def main(first, last):
    """Run the seeds; give how many were wrong."""
    ends, slowest = Counter(), (0.0, first)
    for seed in range(first, last):
        text, began = text_of(Random(seed)), time.process_time()
        try:
            ends["runs" if read(text) else "told"] += 1
        except Exception as error:  # noqa: BLE001 - whatever it is, it is a finding
            ends["crash"] += 1
            sys.stdout.write(f"seed {seed}: {type(error).__name__}: {str(error)[:200]}\n")
        took = time.process_time() - began
        slowest = max(slowest, (took, seed))
        if took > SLOW:
            ends["slow"] += 1
            sys.stdout.write(f"seed {seed}: {took:.1f} s\n")
    sys.stdout.write(f"{first} to {last}: {dict(ends)}, slowest {slowest[0]:.2f} s (seed {slowest[1]})\n")
    return ends["crash"] + ends["slow"]


if __name__ == "__main__":
    raise SystemExit(1 if main(int(sys.argv[1]), int(sys.argv[2])) else 0)
