"""What is known where: a condition holds only until something it reads is written, here or in another task."""

import pytest

from simplant import BOOL, INT, Alarm, Step, constant, go, ms, seconds
from tests.check.kit import chart, findings, whats


def _flag_of_a_changed_memory(p, t):
    m, flag = p.memory("m"), p.memory("flag")
    p.rung(flag, m)
    p.move(t.motor.becomes(True), when=flag)
    p.move(m.becomes(t.start))
    p.move(t.motor.becomes(t.sensor), when=~m)


def _when_read_after_a_change(p, t):
    flag = p.memory("flag")
    p.move(t.motor.becomes(t.sensor), when=flag)
    p.move(flag.becomes(t.start), t.motor.becomes(t.stop, when=~flag))


def _set_that_reads_itself(p, t):
    p.set(t.motor, t.start & ~t.motor)
    p.move(t.motor.becomes(t.sensor), when=t.start)


def _scan_of_a_transition(p, t):
    cycle = p.sequence("cycle", ["rest", Step("run", during=[t.motor.becomes(t.stop)])])
    p.move(t.motor.becomes(t.sensor), when=cycle["rest"])
    cycle.transitions([go("rest", "run", t.start), go("run", "rest", t.stop)])


def _around_a_chart(p, t):
    cycle = p.sequence("cycle", ["rest", "run"])
    p.move(t.motor.becomes(t.sensor), when=cycle["rest"])
    cycle.transitions([go("rest", "run", t.start), go("run", "rest", t.stop)])
    p.move(t.motor.becomes(t.stop), when=cycle["run"])


def _entry_at_start(p, t, *, retain=False):
    steps = [Step("rest", entry=[t.motor.becomes(False)]), "run"]
    chart(p, steps, [go("rest", "run", t.start), go("run", "run", t.stop)], retain=retain)
    p.move(t.motor.becomes(t.sensor), when=t.start)


@pytest.mark.parametrize(
    "write",
    [
        _flag_of_a_changed_memory,
        _when_read_after_a_change,
        _set_that_reads_itself,
        _scan_of_a_transition,
        _around_a_chart,
        _entry_at_start,
    ],
)
def test_writers_that_meet_only_by_the_order_of_things_are_found(write):
    """Each condition excludes the other on paper, and both act in one scan all the same."""
    assert [s for s, _ in whats(write, "double coil")] == ["error"]


def test_a_chart_that_keeps_its_step_is_not_entered_at_a_start():
    """So the entry of its first step, which no row leads to, is never done."""
    assert whats(lambda p, t: _entry_at_start(p, t, retain=True), "double coil") == []


def test_of_actions_in_turn_the_last_leaves_what_is_known():
    """x is not 1 at the end of the node, so the exit is named beside the entry."""

    def write(p, t):
        x = p.memory("x", INT)
        steps = [Step("rest", exit=[x.becomes(1)]), Step("run", entry=[x.becomes(t.weight)])]
        chart(p, steps, [go("rest", "run", t.start)])
        p.move(x.becomes(0), when=x == 5)

    assert whats(write, "several writers") == [
        ("note", "x is written by exit of cycle.rest at LINE, entry of cycle.run at LINE and assignment at LINE")
    ]


def test_a_rung_of_another_task_says_nothing_about_now():
    """Its input may have changed since that task ran."""

    def write(p, t):
        flag = p.memory("flag")
        with p.task("fast", period=ms(1)):
            p.rung(flag, t.start)
        p.rung(t.motor, t.stop)
        chart(p, ["rest", "run"], [go("rest", "run", flag & ~t.start), go("run", "rest", t.stop)])

    assert whats(write, "guard never true") == []


def test_a_tag_of_two_rungs_is_neither_condition():
    """Only one rung alone says what a tag is."""

    def write(p, t):
        flag = p.memory("flag")
        p.rung(flag, t.start)
        p.rung(flag, t.stop)
        chart(p, ["rest", "run"], [go("rest", "run", flag & ~t.start), go("run", "rest", t.stop)])

    assert whats(write, "guard never true") == []


def test_a_long_chain_of_rungs_is_looked_through_as_far_as_it_pays():
    """Thirty rungs that each name the one before twice: a thousand million leaves, if they were all written out."""

    def write(p, t):
        last = t.start
        for n in range(30):
            last = p.rung(p.memory(f"link_{n}"), (last & t.stop) | (last & t.sensor))
        chart(p, ["rest", "run"], [go("rest", "run", last & t.stop & ~t.stop), go("run", "rest", last)])

    assert len(findings(write, "guard never true")) == 1


def test_a_guard_stops_counting_once_its_number_is_written():
    """n <> 0 held before n := 0."""

    def write(p, _t):
        n, m = p.memory("n", INT), p.memory("m", INT)
        p.move(n.becomes(0), m.becomes(constant(60, INT) / n), when=n != 0)

    assert [s for s, _ in whats(write, "division by zero")] == ["warning"]


def test_rows_that_were_tried_in_vain_are_known():
    """The first row has taken the zeros."""

    def write(p, t):
        n = p.memory("n", INT)
        first, second = (
            go("rest", "run", t.weight == 0),
            go("rest", "run", t.start, n.becomes(constant(60, INT) / t.weight)),
        )
        chart(p, ["rest", "run"], [first, second])

    assert whats(write, "division by zero") == []


@pytest.mark.parametrize("safe", [True, False])
def test_or_looks_no_further_once_decided(safe):
    """`w = 0 OR 60 / w > 3` is safe, `w > 0 OR ...` is not."""

    def write(p, t):
        decided = t.weight == 0 if safe else t.weight > 0
        p.rung(t.motor, decided | (constant(60, INT) / t.weight > 3))

    assert len(whats(write, "division by zero")) == (not safe)


def test_a_count_may_be_stopped_by_a_rung():
    """The guard is a tag whose rung looks at the count."""

    def write(p, t):
        n = p.memory("n", INT)
        more = p.rung(p.memory("more"), t.start & (n < 10))
        p.move(n.becomes(n + 1), when=more)

    assert whats(write, "counter wraps") == []


def test_what_a_row_from_many_steps_does_is_said_once():
    """One finding, however many steps it leaves."""

    def write(p, t):
        n = p.memory("n", INT)
        chart(p, ["rest", "run", "fault"], [go("*", "fault", t.sensor, n.becomes(n + 1))])

    assert len(findings(write, "counter wraps")) == 1


def test_rows_to_one_step_differ_by_their_actions():
    """Then the order matters after all."""

    def write(p, t):
        seen = p.memory("seen")
        chart(p, ["rest", "run"], [go("rest", "run", t.start), go("rest", "run", t.stop, seen.becomes(True))])

    assert [s for s, _ in whats(write, "priority")] == ["note"]


def test_a_single_row_may_be_too_much():
    """Whether it can ever fire is not decided."""

    def write(p, t):
        some = p.memory("bit")
        for n in range(16):
            some = some | p.memory(f"bit_{n}")
        chart(p, ["rest", "run"], [go("rest", "run", some), go("run", "rest", t.start)])

    assert whats(write, "not decided") == [("note", "cycle: how the rows of rest lie to each other was not decided")]


def test_step_time_is_never_negative():
    """So a row that asks for no time at all hides those below."""

    def write(p, t):
        cycle = p.sequence("cycle", ["rest", "run"])
        cycle.transitions(
            [go("rest", "run", cycle.time >= ms(0)), go("rest", "rest", t.start), go("run", "rest", t.stop)]
        )

    assert whats(write, "shadowed transition") == [("warning", "row 2 of cycle (to rest) can never fire in step rest")]


def _monitor(p, t, cause):
    cycle = p.sequence("cycle", ["rest", "run", "fault"])
    alarms = p.alarms("alarm", t.stop, [Alarm("slow", cause(p, t, cycle), "too slow")])
    rows = [
        ("rest", "run", t.start),
        ("run", "rest", t.sensor),
        ("run", "fault", alarms.any),
        ("fault", "rest", t.stop),
    ]
    cycle.transitions([go(*row) for row in rows])


@pytest.mark.parametrize(
    ("cause", "blamed"),
    [
        (lambda p, t, c: p.ton("late", c["run"] & ~t.sensor, seconds(3)).Q, 0),
        (lambda p, t, c: p.ton("late", c["rest"], seconds(3)).Q, 1),
        (lambda _p, t, c: c["run"] & t.stop, 1),
    ],
)
def test_an_alarm_with_a_timer_on_the_step_limits_it(cause, blamed):
    """The timer must run in the step, and lead through the first-out to a way out of it."""
    found = findings(lambda p, t: _monitor(p, t, cause), "wait without limit", operator_inputs=["start", "stop"])
    assert len(found) == blamed


def test_a_row_that_the_step_itself_forbids_is_no_way_out():
    """Time opens it in other steps only."""

    def write(p, t):
        cycle = p.sequence("cycle", ["rest", "run"])
        late = (cycle.time >= seconds(1)) & ~cycle["run"]
        cycle.transitions([go("rest", "run", t.start), go("run", "rest", t.sensor), go("run", "rest", late)])

    assert len(findings(write, "wait without limit", operator_inputs=["start"])) == 1


def test_alarms_and_time_limits_bring_tags_of_their_own():
    """They are not held against the author, nor is a condition that is always TRUE."""

    def write(p, t):
        cycle = chart(
            p, [Step("rest", limit=seconds(1)), "run"], [go("rest", "run", t.start), go("run", "rest", t.stop)]
        )
        p.alarms("alarm", t.stop, [Alarm("hot", t.sensor & (t.weight > 3), "too hot")])
        p.rung(t.motor, cycle_run(p) & p.rising("edge", t.start))
        p.rung(t.valve, p.call(p.block("always", "R_TRIG"), CLK=t.stop, when=constant(True, BOOL)).Q)
        del cycle

    def cycle_run(p):
        return p.charts["cycle"]["run"]

    assert findings(write, operator_inputs=["start", "stop"]) == findings(
        write, "waits for people", operator_inputs=["start", "stop"]
    )
