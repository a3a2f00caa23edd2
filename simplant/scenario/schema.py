"""The keys of a scenario file, and of nothing else.

What the keys mean is model.py; read.py turns one into the other. Rule: an unknown key is
refused, so a misspelt one cannot pass unseen.
"""

from typing import Any, Literal

from msgspec import Struct, field


class _Table(Struct, frozen=True, forbid_unknown_fields=True):
    pass


class StimulusTable(_Table, frozen=True):
    """`[[stimulus]]`."""

    at: str
    on: str
    do: str
    value: int | float | str | None = None
    lasts: str | None = field(name="for", default=None)


class FaultTable(_Table, frozen=True):
    """`[[fault]]`."""

    at: str
    on: str
    kind: str
    lasts: str | None = field(name="for", default=None)
    value: float | None = None
    other: str = field(name="with", default="")


class ForceTable(_Table, frozen=True):
    """`[[force]]`."""

    at: str
    tag: str
    value: bool | int | float | str
    lasts: str | None = field(name="for", default=None)


class WriteTable(_Table, frozen=True):
    """`[[write]]`."""

    at: str
    tag: str
    value: bool | int | float | str


class PowerTable(_Table, frozen=True):
    """`[[power]]`."""

    at: str
    controller: str = "main"
    lasts: str | None = field(name="for", default=None)
    restart: Literal["warm", "cold"] = "warm"


class ScansTable(_Table, frozen=True):
    """`[scans.CONTROLLER]`."""

    period: str = "0s"
    jitter: str = "0s"


class StateTable(_Table, frozen=True):
    """An entry of `expect.at`; the values are checked in read.py, which can name the key."""

    at: str
    tags: dict[str, Any] = {}
    steps: dict[str, Any] = {}
    truths: dict[str, Any] = {}


class ExpectTable(_Table, frozen=True):
    """`[expect]`."""

    broken: list[str] = []
    not_exercised: list[str] = []
    undecided: list[str] = []
    alarms: list[str] | None = None
    first_out: str | None = None
    tags: dict[str, Any] = {}
    steps: dict[str, Any] = {}
    truths: dict[str, Any] = {}
    at: list[StateTable] = []


class ScenarioTable(_Table, frozen=True):
    """The whole file."""

    machine: str
    title: str = ""
    seed: int = 1
    length: str = "60s"
    phase: str = "0s"
    ties: int = 0
    stimulus: list[StimulusTable] = []
    fault: list[FaultTable] = []
    force: list[ForceTable] = []
    write: list[WriteTable] = []
    power: list[PowerTable] = []
    parameters: dict[str, Any] = field(name="set", default={})
    retained: dict[str, Any] = {}
    scans: dict[str, ScansTable] = {}
    expect: ExpectTable = field(default_factory=ExpectTable)


_LISTS = {
    "stimulus": StimulusTable,
    "fault": FaultTable,
    "force": ForceTable,
    "write": WriteTable,
    "power": PowerTable,
}


def known_keys(path: tuple[str | int, ...]) -> tuple[str, ...]:
    """Give the keys that a table of the file may have, for the nearest-name hint of an error."""
    match path:
        case ():
            return ScenarioTable.__struct_encode_fields__
        case ("expect",):
            return ExpectTable.__struct_encode_fields__
        case ("scans", _):
            return ScansTable.__struct_encode_fields__
        case (str(name), _) if name in _LISTS:
            return _LISTS[name].__struct_encode_fields__
        case _:
            return StateTable.__struct_encode_fields__
