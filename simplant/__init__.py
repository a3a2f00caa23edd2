"""simplant: a bench for proving a machine's control logic before it is wired.

What a user program, plant or rule needs is here; everything else is in the packages below.
"""

from simplant.curves import Approach, Coast, Curve, Line, Parabola, Pieces, Steady
from simplant.errors import (
    InternalError,
    PlantError,
    ProgramError,
    ReplayMismatch,
    RuleBroken,
    RuleError,
    ScenarioError,
    SimplantError,
    UsageError,
    WiringError,
)
from simplant.expr import abs_, constant, limit, max_, min_, select, to_type
from simplant.faults import Fault
from simplant.logic.nodes import Alarm, Step
from simplant.logic.program import Program
from simplant.logic.sequence import go
from simplant.part import FailureMode, Parameter, Part
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Expect, Force, Power, Scenario, Stimulus, Write
from simplant.tags import Direction, Tag
from simplant.timebase import NEVER, Ns, duration, from_float_seconds, minutes, ms, seconds, us
from simplant.values import (
    BOOL,
    BYTE,
    DINT,
    DWORD,
    INT,
    LINT,
    LREAL,
    LWORD,
    REAL,
    SINT,
    STRING,
    TIME,
    UDINT,
    UINT,
    ULINT,
    USINT,
    WORD,
)
from simplant.version import VERSION as __version__

__all__ = [
    "BOOL",
    "BYTE",
    "DINT",
    "DWORD",
    "INT",
    "LINT",
    "LREAL",
    "LWORD",
    "NEVER",
    "REAL",
    "SINT",
    "STRING",
    "TIME",
    "UDINT",
    "UINT",
    "ULINT",
    "USINT",
    "WORD",
    "Alarm",
    "Approach",
    "Coast",
    "Curve",
    "Direction",
    "Expect",
    "FailureMode",
    "Fault",
    "Force",
    "InternalError",
    "Line",
    "Machine",
    "Ns",
    "Parabola",
    "Parameter",
    "Part",
    "Pieces",
    "PlantError",
    "Power",
    "Program",
    "ProgramError",
    "ReplayMismatch",
    "Rig",
    "RuleBroken",
    "RuleError",
    "Scenario",
    "ScenarioError",
    "SimplantError",
    "Steady",
    "Step",
    "Stimulus",
    "Tag",
    "UsageError",
    "WiringError",
    "Write",
    "__version__",
    "abs_",
    "constant",
    "duration",
    "from_float_seconds",
    "go",
    "limit",
    "max_",
    "min_",
    "minutes",
    "ms",
    "seconds",
    "select",
    "to_type",
    "us",
]
