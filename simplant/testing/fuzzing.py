"""Fuzzing a machine from a test of one's own: `@fuzz("programs/my_machine")` over a function that takes a run.

How stories are drawn is fuzz/. Rule: a find fails the test as the smallest story, written as a scenario that is
replayed for ever.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from simplant.errors import ProgramError, RuleBroken
from simplant.fuzz.decode import Decoder
from simplant.fuzz.reduce import reduced
from simplant.fuzz.saved import save
from simplant.rig.breaches import broken_rules, errors_in
from simplant.rig.machine import Machine
from simplant.rig.outcome import Run, run_scenario
from simplant.scenario.model import Scenario
from simplant.timebase import Ns

CASES: Final = 100


def fuzz(
    folder: Path | str, *, cases: int = CASES, length: Ns | None = None, nominal: bool = False
) -> Callable[[Callable[[Run], None]], Callable[[], None]]:
    """Tell a machine stories by chance; give each finished run to the test.

    The test fails if a demanded rule breaks that no accepted hazard covers, if a program fails, or if the test itself
    raises. The story is then made small, written to `runs/`, and told. The same stories come every time.

    Args:
        folder: the machine's folder, seen from where pytest was started.
        cases: how many stories.
        length: machine time of each, ns; by default that of the machine's own scenario.
        nominal: leave the machine as drawn: no tolerances, nothing started elsewhere, no jitter.
    """

    def decorate(test: Callable[[Run], None]) -> Callable[[], None]:
        def told() -> None:
            machine = Machine.load(folder)
            from simplant.fuzz.drawn import first_wrong  # noqa: PLC0415 - hypothesis loads when it is wanted

            judge = _judge(test)
            found = first_wrong(machine, Decoder(machine, length=length, nominal=nominal), cases, judge)
            if found is not None:
                _fail(machine, found, judge)

        told.__name__, told.__doc__, told.__module__ = test.__name__, test.__doc__, test.__module__
        return told  # not functools.wraps: pytest would take the run for a fixture

    return decorate


def _judge(test: Callable[[Run], None]) -> Callable[[Run], BaseException | None]:
    def judge(run: Run) -> BaseException | None:
        if errors := errors_in(run.trace):
            return ProgramError(errors[0].text)
        if run.broken:
            return broken_rules(run.broken[:1], run.trace, run.scenario.all_faults, run.scenario.forces)
        try:
            test(run)
        except Exception as error:  # noqa: BLE001 - whatever a test raises is what is wrong
            return error
        return None

    return judge


def _fail(machine: Machine, found: Scenario, judge: Callable[[Run], BaseException | None]) -> None:
    """Make a find small, write it, and raise what is wrong with it."""
    run = run_scenario(machine, found)
    what = _what(judge(run), run)
    at = next((v.time for v in run.broken if v.rule == what and v.time is not None), run.ended)

    def wrong(scenario: Scenario) -> bool:
        tried = run_scenario(machine, scenario)
        return _what(judge(tried), tried) == what

    small = reduced(found, at, wrong)
    error = judge(run_scenario(machine, small))
    assert error is not None, "a reduced story still shows what was wrong"
    path = save(small, what)
    error.add_note(f"written to {path.as_posix()}\nagain: simplant replay {path.as_posix()}")
    raise error


def _what(error: BaseException | None, run: Run) -> str:
    """Name what is wrong: a rule, or the kind of error."""
    if isinstance(error, RuleBroken):
        return run.broken[0].rule
    return "" if error is None else type(error).__name__
