"""What a machine's files say is to be built: a plan for each part and for each controller.

Reading them is machine_loader.py, building machine.py. Rule: a plan never changes; each run builds anew from it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from simplant.errors import SimplantError
from simplant.faults import FailureMode
from simplant.kernel.executable import Executable
from simplant.kernel.setup import ControllerSetup, TaskSetup
from simplant.logic.layout import Layout
from simplant.logic.program import Program
from simplant.part import Part, Signal
from simplant.plant import STOCK as PLANT_STOCK
from simplant.scenario.model import Scans
from simplant.timebase import Ns
from simplant.values import Value
from simplant.wiring import STOCK as WIRING_STOCK

STOCK: Final[Mapping[str, type[Part]]] = {**WIRING_STOCK, **PLANT_STOCK}
"""Every stock part by the name that `machine.toml` calls it."""

MAIN: Final = "main"
"""The name of a machine's main controller."""

HANGING: Final = FailureMode(
    "hanging", "the processor hangs (disturbance, endless loop)", "no scans; outputs stay until the watchdog trips"
)
"""The failure mode of every controller."""


@dataclass(frozen=True, slots=True)
class PartPlan:
    """One part to be built: how, with what, and the first values of unwired inputs."""

    name: str
    make: Callable[[Mapping[str, float]], Part]
    kind: type[Part]
    parameters: Mapping[str, float] = field(default_factory=dict)
    constants: Mapping[str, Signal] = field(default_factory=dict)

    def refusal(self, action: str, value: float | str | None) -> SimplantError | None:
        """Say why such a part, alone, cannot take an action with a value; None if it can."""
        part = self.make(self.parameters)
        part.begin(Ns(0))
        try:
            part.act(action, value, Ns(0))
        except SimplantError as error:
            return error
        return None


@dataclass(frozen=True, slots=True)
class ControllerPlan:
    """One controller to be built: settings, program, compiled tasks, the signal that powers it; `logic` is its file."""

    name: str
    setup: ControllerSetup
    program: Program
    layouts: tuple[Layout, ...]
    tasks: tuple[tuple[TaskSetup, Executable], ...]
    supply: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    safe: Mapping[str, Value]
    sources: Mapping[str, str]
    logic: Path
    periods: tuple[Ns, Ns] | None = None
    """Least and most scan period for which its program must do, where the machine's file states them."""

    def scanning(self, scans: Scans) -> tuple[tuple[TaskSetup, Executable], ...]:
        """Give its tasks with the period and jitter of a run; one whose program sets its period keeps that.

        Raises:
            UsageError: the jitter is not below the period.
        """
        return tuple(
            (
                replace(
                    setup,
                    period=setup.period if layout.period or not scans.period else scans.period,
                    start_jitter=scans.jitter or setup.start_jitter,
                ),
                program,
            )
            for layout, (setup, program) in zip(self.layouts, self.tasks, strict=True)
        )
