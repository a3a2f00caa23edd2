"""A scenario back to TOML: what `read_scenario` reads is the same scenario again.

Reading is read.py; the keys are schema.py. Rule: whatever is at its default is left out, so a
saved find is as short as one written by hand.
"""

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

import tomli_w

from simplant.faults import Fault
from simplant.files import write_text
from simplant.scenario.model import Expect, Force, Power, Scans, Scenario, State, Stimulus, Write
from simplant.timebase import NEVER, Ns

_UNITS: Final = ((1_000_000_000, "s"), (1_000_000, "ms"), (1_000, "us"))


def write_scenario(scenario: Scenario, path: Path | str) -> None:
    """Write a scenario file; it appears whole or not at all. Raises `UsageError` if it cannot be written."""
    write_text(path, scenario_text(scenario))


def scenario_text(scenario: Scenario) -> str:
    """Give a scenario as TOML."""
    data: dict[str, Any] = {
        "machine": scenario.machine,
        "title": scenario.title,
        "seed": scenario.seed,
        "length": as_text(scenario.length),
        "phase": as_text(scenario.phase) if scenario.phase else "",
        "ties": scenario.ties or "",
        "stimulus": [_stimulus(s) for s in scenario.stimuli],
        "fault": [_fault(f) for f in scenario.faults],
        "force": [_force(f) for f in scenario.forces],
        "write": [_write(w) for w in scenario.writes],
        "power": [_power(p) for p in scenario.power],
        "set": dict(scenario.parameters),
        "retained": dict(scenario.retained),
        "scans": {name: _scans(s) for name, s in scenario.scans.items()},
        "expect": _expect(scenario.expect),
    }
    return toml_text(_given(data))


def toml_text(data: Mapping[str, Any]) -> str:
    """Give a table as TOML."""
    return tomli_w.dumps(data)


def as_text(time: Ns) -> str:
    """Give a time as a scenario writes it: exact, in the greatest unit up to seconds (`1.5s`, `200ms`)."""
    for size, unit in _UNITS:
        if time >= size:
            return f"{Decimal(time) / size:f}{unit}"
    return f"{time}ns" if time else "0s"


def _given(table: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value not in ("", None, [], {})}


def _span(time: Ns) -> str | None:
    return None if time == NEVER else as_text(time)


def _stimulus(s: Stimulus) -> dict[str, Any]:
    value = {} if s.value is None else {"value": s.value}
    return _given({"at": as_text(s.at), "on": s.on, "do": s.do}) | value | _given({"for": _span(s.duration)})


def _fault(f: Fault) -> dict[str, Any]:
    rest = _given({"for": _span(f.duration), "with": f.other, "value": f.value})
    return {"at": as_text(f.onset), "on": f.target, "kind": f.kind} | rest


def _force(f: Force) -> dict[str, Any]:
    return {"at": as_text(f.at), "tag": f.tag, "value": f.value} | _given({"for": _span(f.duration)})


def _write(w: Write) -> dict[str, Any]:
    return {"at": as_text(w.at), "tag": w.tag, "value": w.value}


def _power(p: Power) -> dict[str, Any]:
    restart = None if p.restart == "warm" else p.restart
    return {"at": as_text(p.at), "controller": p.controller} | _given({"for": _span(p.duration), "restart": restart})


def _scans(s: Scans) -> dict[str, Any]:
    return {key: as_text(time) for key, time in (("period", s.period), ("jitter", s.jitter)) if time}


def _expect(expect: Expect) -> dict[str, Any]:
    table = _given(
        {
            "broken": list(expect.broken),
            "not_exercised": list(expect.not_exercised),
            "undecided": list(expect.undecided),
            "first_out": expect.first_out,
        }
    )
    if expect.alarms is not None:
        table["alarms"] = list(expect.alarms)
    return table | _state(expect.end) | _given({"at": [{"at": as_text(at)} | _state(s) for at, s in expect.at]})


def _state(state: State) -> dict[str, Any]:
    truths: Mapping[str, Any] = {k: list(v) if isinstance(v, tuple) else v for k, v in state.truths.items()}
    return _given({"tags": dict(state.tags), "steps": dict(state.steps), "truths": dict(truths)})
