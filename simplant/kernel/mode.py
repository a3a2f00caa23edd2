"""What a controller can be doing; from which to which it goes is controller.py.

Rule: tasks scan in RUNNING only, and outputs are held on in RUNNING, HUNG and STUCK only.
"""

from enum import Enum


class Mode(Enum):
    """What a controller is doing."""

    OFF = "off"
    BOOTING = "booting"
    RUNNING = "running"
    HUNG = "hung"
    STUCK = "stuck in a scan"
    STOPPED = "stopped"
    FAULTED = "faulted"
