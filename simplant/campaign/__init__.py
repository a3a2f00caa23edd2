"""Many runs of one machine: what varies is an axis (axes.py), what became of it is told in ranges (sweep.py).

The runs go over all cores in pool.py. Rule: the same question gives the same answer on one core or on many.
"""

from simplant.campaign.axes import Axis, Case, cuts, periods, phases
from simplant.campaign.sweep import Change, Span, Sweep, sweep

__all__ = ["Axis", "Case", "Change", "Span", "Sweep", "cuts", "periods", "phases", "sweep"]
