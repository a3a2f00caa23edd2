"""Random sequential function charts, as text, and what the standard says they do, scan by scan.

The referee is written from the rules alone: sets of steps and instants, nothing of what simplant lowers a chart to.
Rule: any chart may be drawn, unsafe ones too; everything comes from the `Random` given.
"""

from dataclasses import dataclass, field

INPUTS = ("a", "b", "c", "d")
OUTPUTS = ("q0", "q1", "q2")
TIMES = (0, 10, 25, 40, 70)
TIMED = ("L", "D", "SD", "DS", "SL")


@dataclass(frozen=True)
class Condition:
    """A condition: inputs or step flags that must be as said, and the least time of a step."""

    flags: tuple[tuple[str, bool], ...]
    step: str = ""
    least: int = 0

    def text(self):
        terms = [f"{'' if wanted else 'NOT '}{name}" for name, wanted in self.flags]
        terms += [f"{self.step}.T >= T#{self.least}ms"] if self.step else []
        return " AND ".join(terms) or "TRUE"

    def holds(self, inputs, active, elapsed):
        seen = {**inputs, **{f"{step}.X": step in active for step in elapsed}}
        late = not self.step or elapsed[self.step] >= self.least * 1_000_000
        return late and all(seen[name] == wanted for name, wanted in self.flags)


@dataclass(frozen=True)
class Way:
    """A transition."""

    sources: tuple[str, ...]
    targets: tuple[str, ...]
    test: Condition
    priority: int | None


@dataclass(frozen=True)
class Chart:
    """Steps with their blocks (action, qualifier, milliseconds), the initial ones, transitions."""

    steps: dict[str, list[tuple[str, str, int]]]
    initial: tuple[str, ...]
    ways: tuple[Way, ...]

    def text(self):
        """Give it as a program with inputs and outputs at addresses, and two actions that count."""
        rows = ["PROGRAM chart", "VAR"]
        rows += [f"  {name} AT %IX0.{n} : BOOL;" for n, name in enumerate(INPUTS)]
        rows += [f"  {name} AT %QX0.{n} : BOOL;" for n, name in enumerate(OUTPUTS)]
        rows += ["  m0, m1 : INT;", "END_VAR"]
        for step, blocks in self.steps.items():
            rows.append(f"{'INITIAL_STEP' if step in self.initial else 'STEP'} {step}:")
            rows += [f"  {name}({q}{f', T#{ms}ms' if q in TIMED else ''});" for name, q, ms in blocks]
            rows.append("END_STEP")
        for way in self.ways:
            ends = [e[0] if len(e) == 1 else f"({', '.join(e)})" for e in (way.sources, way.targets)]
            first = f" (PRIORITY := {way.priority})" if way.priority is not None else ""
            rows.append(f"TRANSITION{first} FROM {ends[0]} TO {ends[1]} := {way.test.text()}; END_TRANSITION")
        rows += [f"ACTION count{n}: m{n} := m{n} + 1; END_ACTION" for n in (0, 1)]
        return "\n".join([*rows, "END_PROGRAM", ""])


def random_chart(rnd):
    """Draw a chart of two to six steps."""
    steps = [f"s{n}" for n in range(rnd.randint(2, 6))]
    names = (*OUTPUTS, "count0", "count1")
    blocks = {
        step: [
            (rnd.choice(names), rnd.choice(("N", "N", "S", "R", "P", "P0", "P1", *TIMED)), rnd.choice(TIMES))
            for _ in range(rnd.randint(0, 3))
        ]
        for step in steps
    }
    ways = []
    for _ in range(rnd.randint(1, 8)):
        sources, targets = (tuple(rnd.sample(steps, rnd.choice((1, 1, 1, min(2, len(steps)))))) for _ in "st")
        flags = {rnd.choice((*INPUTS, f"{rnd.choice(steps)}.X")): rnd.random() < 0.6 for _ in range(rnd.randint(0, 2))}
        step = rnd.choice(steps) if rnd.random() < 0.3 else ""
        test = Condition(tuple(flags.items()), step, rnd.choice(TIMES))
        ways.append(Way(sources, targets, test, rnd.choice((None, None, 1, 2))))
    return Chart(blocks, tuple(rnd.sample(steps, rnd.choice((1, 1, 2)))), tuple(ways))


@dataclass
class Referee:
    """Plays a chart by the rules."""

    chart: Chart
    active: set = field(default_factory=set)
    entered: dict = field(default_factory=dict)
    held: dict = field(default_factory=dict)
    begun: bool = False
    memory: dict = field(default_factory=dict)
    counts: list = field(default_factory=lambda: [0, 0])

    def scan(self, inputs, now):
        """Do one scan; give the active steps, the outputs and the counts."""
        if not self.begun:
            self.begun = True
            self._enter(self.chart.initial, now)
        else:
            self._evolve(inputs, now)
        state = {name: self._is_active(name, now) for name in (*OUTPUTS, "count0", "count1")}
        for n in (0, 1):
            self.counts[n] += state[f"count{n}"]
        named = {name for blocks in self.chart.steps.values() for name, _, _ in blocks}
        return set(self.active), {q: state[q] for q in OUTPUTS if q in named}, list(self.counts)

    def elapsed(self, now):
        return {s: now - self.entered[s] if s in self.active else self.held.get(s, 0) for s in self.chart.steps}

    def _evolve(self, inputs, now):
        elapsed, before = self.elapsed(now), set(self.active)
        enabled = [w for w in self.chart.ways if set(w.sources) <= before and w.test.holds(inputs, before, elapsed)]
        taken, fired = set(), []
        for way in sorted(enabled, key=lambda w: (w.priority is None, w.priority or 0)):
            if not taken & set(way.sources):
                taken |= set(way.sources)
                fired.append(way)
        for step in taken:
            self.active.discard(step)
            self.held[step] = elapsed[step]
        self._enter([step for way in fired for step in way.targets], now)

    def _enter(self, steps, now):
        for step in steps:
            if step not in self.active:
                self.active.add(step)
                self.entered[step] = now

    def _is_active(self, name, now):
        """Say whether an action is active, by what each qualifier means."""
        reset = self._asks(name, "R", None)
        return [
            self._one(name, qualifier, ms, self._asks(name, qualifier, ms), now, reset=reset)
            for qualifier, ms in self._kinds(name)
        ].count(True) > 0 and not reset

    def _kinds(self, name):
        blocks = [(q, ms if q in TIMED else None) for b in self.chart.steps.values() for n, q, ms in b if n == name]
        return [kind for kind in dict.fromkeys(blocks) if kind[0] != "R"]

    def _asks(self, name, qualifier, ms):
        return any(
            (n, q) == (name, qualifier) and (ms is None or ms == each)
            for step in self.active
            for n, q, each in self.chart.steps[step]
        )

    def _one(self, name, qualifier, ms, asked, now, *, reset):
        past = self.memory.setdefault((name, qualifier, ms), {"asked": False, "stored": False, "since": None})
        rose, fell, past["asked"] = asked and not past["asked"], past["asked"] and not asked, asked
        if qualifier in ("S", "SD", "SL"):
            asked = past["stored"] = (asked or past["stored"]) and not reset
        past["since"] = (now if past["since"] is None else past["since"]) if asked else None
        over = asked and now - past["since"] >= (ms or 0) * 1_000_000
        if qualifier == "DS":
            past["stored"] = (over or past["stored"]) and not reset
        return {
            "N": asked, "S": asked, "P": rose, "P1": rose, "P0": fell, "L": asked and not over, "D": over, "SD": over,
            "DS": past["stored"], "SL": asked and not over,
        }[qualifier]  # fmt: skip
