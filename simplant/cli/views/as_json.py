"""The same records as plain values, for `--json`.

Writing the JSON itself is the command's work. Rule: instants and durations are whole
nanoseconds and their keys end in `_ns`; every float is finite, else it is a word.
"""

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from math import isfinite
from typing import Any, Final

from simplant.rules.verdict import Verdict
from simplant.scenario.compare import Difference
from simplant.scenario.records import (
    AlarmRecord,
    BallRecord,
    Count,
    EventRecord,
    ForcedRecord,
    ScanCount,
    StepRecord,
)
from simplant.timebase import Ns

_TIMES: Final = (Ns, Ns | None)


def as_json(
    *,
    header: Mapping[str, str] | None = None,
    steps: Sequence[StepRecord] = (),
    alarms: Sequence[AlarmRecord] = (),
    verdicts: Sequence[Verdict] = (),
    balls: Sequence[BallRecord] = (),
    counts: Sequence[Count] = (),
    scans: Sequence[ScanCount] = (),
    forced: Sequence[ForcedRecord] = (),
    events: Sequence[EventRecord] = (),
    difference: Difference | None = None,
) -> dict[str, Any]:
    """Give what the views show, as dicts, lists, text, numbers, true, false and None.

    Returns:
        A dict that `json.dumps(..., allow_nan=False)` takes; its keys are the arguments' names.
    """
    return {
        "header": dict(header or {}),
        "steps": _plain(steps),
        "alarms": _plain(alarms),
        "rules": [_verdict(v) for v in verdicts],
        "balls": _plain(balls),
        "counts": _plain(counts),
        "scans": _plain(scans),
        "forced": _plain(forced),
        "events": _plain(events),
        "difference": _plain(difference),
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    tags = [{"name": name, "value": _plain(value), "since_ns": since} for name, value, since in verdict.tags]
    return {**_record(verdict), "tags": tags}


def _record(record: Any) -> dict[str, Any]:
    return {
        f"{field.name}_ns" if field.type in _TIMES else field.name: _plain(getattr(record, field.name))
        for field in fields(record)
    }


def _plain(value: object) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float) and not isfinite(value):
        return str(value)
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return _record(value) if is_dataclass(value) else value
