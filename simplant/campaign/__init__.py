"""Many runs of one machine: one thing varied (sweep.py), each fault in turn (failures.py), each mistake (mutation.py).

The runs go over all cores in pool.py, their results to disk in store.py. Rule: the same question gives the same answer
on one core or on many.
"""

from simplant.campaign.axes import Axis, Case, cuts, periods, phases
from simplant.campaign.bounds import clopper_pearson, none_seen
from simplant.campaign.campaign import Campaign, Told
from simplant.campaign.store import Store
from simplant.campaign.sweep import Change, Span, Sweep, sweep

__all__ = [
    "Axis", "Campaign", "Case", "Change", "Span", "Store", "Sweep", "Told", "clopper_pearson", "cuts", "none_seen",
    "periods", "phases", "sweep",
]  # fmt: skip
