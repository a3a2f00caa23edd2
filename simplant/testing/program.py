"""One suite over any control program: is what runs fast what was written, and may it sleep?

What a particular program should do is for rules and scenarios. Rule: every scan is held against
the plain walker, on inputs that are the same in every run.
"""

from collections.abc import Mapping, Sequence
from typing import Final

from simplant.errors import ProgramError
from simplant.kernel.executable import Executable
from simplant.kernel.same import same
from simplant.logic.compile import compile_task
from simplant.logic.layout import Layout, layouts
from simplant.logic.program import Program
from simplant.logic.walk import walk_task
from simplant.rules import settles
from simplant.testing.dice import Dice
from simplant.timebase import NEVER, Ns, ms, seconds, show
from simplant.values import ElementaryType, Kind, Value

_PAUSES: Final = (ms(10), ms(20), ms(100), seconds(1), seconds(20))
_TEXTS: Final = ("", "a", "ab")
_RACE_EVERY: Final = 7
"""Scans from one look for a race to the next."""

Scan = tuple[tuple[Value, ...], tuple[Value, ...], Ns]
"""Inputs, state before, instant."""


def check_program(
    program: Program, *, values: Mapping[str, Sequence[Value]] | None = None, scans: int = 400, seed: int = 1
) -> None:
    """Run every task of a program on changing inputs and hold each scan against the contract.

    Checked: compiled and walked leave the same state, bit for bit; the scan is pure and the state hashable; `due` is
    honest: after a scan that changed nothing, no scan before it does; with inputs and time held the program comes to
    rest (tags declared `free_running` excepted; programs with opaque Python are not looked at for this).

    Args:
        program: what to check.
        values: input tag -> values to choose from, the first one first; by default levels flip, and numbers are small
            or at their limits.
        scans: of each task.
        seed: of the story of inputs.

    Raises:
        ProgramError: the first breach, with instant and inputs; or the program itself failed on these inputs.
    """
    for layout in layouts(program):
        _Run(program, layout, values or {}, seed).story(scans)


class _Run:
    """One task in one story."""

    def __init__(self, program: Program, layout: Layout, values: Mapping[str, Sequence[Value]], seed: int) -> None:
        self.program, self.layout, self.values = program, layout, values
        self.dice: Final = Dice(seed, layout.task)
        self.fast: Final[Executable] = compile_task(layout)
        self.plain: Final[Executable] = walk_task(layout)
        self.inputs: list[Value] = [(values.get(n) or (layout.types[n].default,))[0] for n in layout.inputs]

    def story(self, scans: int) -> None:
        state, now, due = self.fast.initial, Ns(0), NEVER
        for number in range(scans):
            scan = (tuple(self.inputs), state, now)
            after, due = self.scan(scan)
            if not self.fast.restless:
                self.check_sleep(scan, after, due)
                if number % _RACE_EVERY == 0:
                    self.check_rest(scan, after)
            state = after
            now = due if self.dice.chance() < 0.3 and now + 1 < due < NEVER else Ns(now + self.dice.pick(_PAUSES))
            self.disturb()

    def scan(self, scan: Scan) -> tuple[tuple[Value, ...], Ns]:
        after, due = self.fast.run(*scan)
        walked, _ = self.plain.run(*scan)
        self.compare(after, walked, scan, "compiled and walked differ in")
        if not self.fast.restless:
            again, later = self.fast.run(*scan)
            self.compare(after, again, scan, "the same scan twice differs in")
            self.demand(later == due, "the same scan twice is due otherwise", scan)
        try:
            hash(after)
        except TypeError:
            raise self.error("the state cannot be hashed", scan) from None
        self.demand(due > scan[2], f"due at {show(due)}, not later than now", scan)
        return after, due

    def check_sleep(self, scan: Scan, after: tuple[Value, ...], due: Ns) -> None:
        """A scan that changed nothing lets the controller sleep until `due`: look in at its middle and its end."""
        inputs, before, now = scan
        if not all(map(same, before, after)):
            return
        for later in {Ns(now + 1), Ns((now + due) // 2), Ns(due - 1)}:
            if now < later < due:
                dreamt, _ = self.fast.run(inputs, after, later)
                self.compare(after, dreamt, scan, f"due at {show(due)}, but already at {show(later)} it changes")

    def check_rest(self, scan: Scan, after: tuple[Value, ...]) -> None:
        finding = settles(self.fast.run, scan[0], after, scan[2], self.fast.slots, self.program.free_running)
        if finding is not None:
            raise self.error(str(finding), scan)

    def compare(self, one: tuple[Value, ...], other: tuple[Value, ...], scan: Scan, what: str) -> None:
        pairs = zip(self.fast.slots, one, other, strict=True)
        wrong = [f"{s.name} ({a!r}, {b!r})" for s, a, b in pairs if type(a) is not type(b) or not same(a, b)]
        self.demand(not wrong, f"{what} {', '.join(wrong[:4])}", scan)

    def demand(self, holds: bool, what: str, scan: Scan) -> None:  # noqa: FBT001 - the condition itself
        if not holds:
            raise self.error(what, scan)

    def error(self, what: str, scan: Scan) -> ProgramError:
        inputs = ", ".join(f"{name} = {value!r}" for name, value in zip(self.layout.inputs, scan[0], strict=True))
        where = f"program {self.program.name!r}, task {self.layout.task!r}"
        return ProgramError(f"{where}: {what}", f"seen at t={show(scan[2])} with {inputs or 'no inputs'}")

    def disturb(self) -> None:
        """Change up to three inputs."""
        if self.inputs:
            for _ in range(self.dice.pick((0, 1, 1, 2, 3))):
                at = self.dice.pick(range(len(self.inputs)))
                name = self.layout.inputs[at]
                self.inputs[at] = self.dice.pick(self.values.get(name) or _samples(self.type_of(name)))

    def type_of(self, name: str) -> ElementaryType:
        return self.layout.types[name]


def _samples(type_: ElementaryType) -> Sequence[Value]:
    match type_.kind:
        case Kind.BOOL:
            return (False, True)
        case Kind.STRING:
            return _TEXTS
        case Kind.TIME:
            return (0, int(ms(50)), int(seconds(1)), int(seconds(60)))
        case _:
            return tuple(type_.wrap(number) for number in (0, 1, 2, 50, 1000, -1, type_.least, type_.most))
