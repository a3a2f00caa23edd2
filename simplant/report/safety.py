"""The lines about safety that stand under everything a run is told by.

Rule: wherever a result is shown to people, these lines are there.
"""

from typing import Final

SAFETY: Final = (
    "A dry run proves nothing about the safety of the real machine. Emergency stop, guards and other safety functions "
    "belong in safety-rated hardware chosen from a risk assessment (ISO 12100, ISO 13849-1, IEC 60204-1)."
)
