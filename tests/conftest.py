"""How many cases hypothesis draws: `dev` few, `ci` the same ones every time, `soak` many, by hand.

Chosen by HYPOTHESIS_PROFILE; without it `ci` where CI is set, else `dev`. Rule: a test that needs its own number
of cases says why beside it.
"""

import os

from hypothesis import HealthCheck, settings

SLOW_MACHINES = [HealthCheck.too_slow]

settings.register_profile("dev", max_examples=30, deadline=None, suppress_health_check=SLOW_MACHINES)
settings.register_profile(
    "ci", max_examples=60, deadline=None, derandomize=True, database=None, suppress_health_check=SLOW_MACHINES
)
settings.register_profile("soak", max_examples=2000, deadline=None, suppress_health_check=SLOW_MACHINES)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "dev"))
