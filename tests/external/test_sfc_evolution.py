"""The evolution of sequential function charts: the five rules of GRAFCET, and where IEC 61131-3 says otherwise.

Sources: the five rules from two published courses on IEC 60848, read; IEC 61131-3:2003 2.6.5 (clearing, structure)
read, Table 46 (selection) and the time of clearing from memory: SOURCES.md. Each table below is derived by hand from
the rule named in its docstring. Rule: a table gives the active steps after each scan.
"""

from tests.st.running import scans

TRUE, FALSE = {"go": True}, {"go": False}


def active(text, given=(), *, count, names):
    """Give the active steps after each scan, as a word of letters."""
    rows = scans(f"PROGRAM p VAR go, on, q, r : BOOL; n : INT; END_VAR {text} END_PROGRAM", given, count=count)
    return ["".join(name for name in names if row[f"{name}.X"]) for row in rows]


def steps(names, initial="A", **actions):
    """Declare steps of one letter."""
    return " ".join(f"{'INITIAL_STEP' if n in initial else 'STEP'} {n}: {actions.get(n, '')} END_STEP" for n in names)


def way(source, dest, condition="TRUE", first=""):
    return f" TRANSITION {first} FROM {source} TO {dest} := {condition}; END_TRANSITION"


# the five rules


def test_rule_1_initial_situation():
    """The initial steps are active at the start, and no others; the first scan looks at no transition."""
    assert active(steps("ABC", "AC") + way("A", "B", "on"), count=2, names="ABC") == ["AC", "AC"]


def test_rule_2_clearing_of_a_transition():
    """It is enabled when all its preceding steps are active; it fires when it is enabled and its condition is true.

    C waits for A and B. Scan 1: only A is active, so the true condition does nothing. Scan 2: go brings B. Scan 3: both
    are active and it must fire.
    """
    chart = steps("ABCD", "AD") + way("D", "B", "go") + way("(A, B)", "C")
    assert active(chart, {2: TRUE}, count=5, names="ABCD") == ["AD", "AD", "AB", "C", "C"]


def test_rule_3_evolution_of_active_steps():
    """Clearing leaves all preceding steps and enters all following ones, in one scan."""
    chart = steps("ABCDE") + way("A", "(B, C)", "go") + way("(B, C)", "(D, E)", "on")
    assert active(chart, {1: TRUE, 2: {"on": True}}, count=4, names="ABCDE") == ["A", "BC", "DE", "DE"]


def test_rule_4_simultaneous_evolutions():
    """Transitions that can be cleared at once are cleared at once: each is looked at in the situation before.

    `A.X` in the second condition is that of before, though the first transition leaves A in the same scan.
    """
    chart = steps("ABCD", "AC") + way("A", "B", "go") + way("C", "D", "go AND A.X")
    assert active(chart, {1: TRUE}, count=2, names="ABCD") == ["AC", "BD"]


def test_rule_5_simultaneous_activation_and_deactivation():
    """A step that is left and entered at once stays active: of A and B in a row, B hands on and is given anew."""
    chart = steps("ABC", "AB") + way("A", "B", "go") + way("B", "C", "go")
    assert active(chart, {1: TRUE}, count=3, names="ABC") == ["AB", "BC", "C"]


def test_rule_5_is_unseen_by_actions():
    """What stays active has no edge: P1 and P0 of B do not run when B is left and entered at once, but T begins anew.

    B is entered in scan 0 with A, left and entered in scan 2; its P1 ran once. T of B counts from scan 2: with a scan
    of 10 ms it is 10 ms in scan 3.
    """
    chart = steps("AB", "AB", B="up(P1); down(P0);") + way("A", "B", "go") + way("B", "B", "go")
    chart += " ACTION up: n := n + 1; q := B.T >= T#20ms; END_ACTION ACTION down: n := n + 100; END_ACTION"
    chart = chart.replace("STEP A:", "STEP A: watch(N);") + " ACTION watch: r := B.T = T#10ms; END_ACTION"
    rows = scans(f"PROGRAM p VAR go, q, r : BOOL; n : INT; END_VAR {chart} END_PROGRAM", {2: TRUE, 3: FALSE}, count=4)
    assert [(row["n"], row["B.start"] // 10_000_000) for row in rows] == [(1, 0), (1, 0), (1, 2), (1, 2)]


# IEC 61131-3 is not IEC 60848


def test_of_alternatives_one_fires():
    """IEC 61131-3: of the transitions from one step that could fire, the leftmost does, or the one with priority.

    IEC 60848 (rule 4) would fire both, and B and C would be active: it is the author who must exclude.
    """
    assert active(steps("ABC") + way("A", "B", "go") + way("A", "C", "go"), {1: TRUE}, count=2, names="ABC")[-1] == "B"
    chart = steps("ABC") + way("A", "B", "go") + way("A", "C", "go", first="(PRIORITY := 1)")
    assert active(chart, {1: TRUE}, count=2, names="ABC")[-1] == "C"
    chart = chart.replace("FROM A TO B", "(PRIORITY := 2) FROM A TO B")
    assert active(chart, {1: TRUE}, count=2, names="ABC")[-1] == "C"


def test_every_step_is_active_for_a_scan():
    """IEC 61131-3: the time of clearing is never zero, so a step is active for one evaluation at least.

    IEC 60848 searches for stability: from A, with go true, B is passed through and its continuous action is not done;
    it would be at C at once. Here B is there for one scan, and so is its action q.
    """
    chart = steps("ABC", B="q(N);") + way("A", "B", "go") + way("B", "C", "go")
    text = f"PROGRAM p VAR go, q : BOOL; END_VAR {chart} END_PROGRAM"
    rows = scans(text, {1: TRUE}, count=4)
    assert active(chart, {1: TRUE}, count=4, names="ABC") == ["A", "B", "C", "C"]
    assert [row["q"] for row in rows] == [False, True, False, False]


def test_an_action_shows_in_the_conditions_of_the_next_scan():
    """IEC 60848 takes what a stored action changes for an internal event of the same instant; here it is the next scan.

    B sets n in scan 1, when it is entered; the condition on n holds in scan 2.
    """
    chart = steps("ABC", B="once(P1);") + way("A", "B", "go") + way("B", "C", "n = 1")
    chart += " ACTION once: n := 1; END_ACTION"
    assert active(chart, {1: TRUE}, count=4, names="ABC") == ["A", "B", "C", "C"]


# the flags of a step


def test_time_of_a_step():
    """IEC 61131-3:2003 2.6.2, from memory: T counts from activation, is held when the step is left, and starts at 0.

    A scan is 10 ms. A is active in scans 0 to 2, and again from scan 4; T is looked at by a step that is always active.
    """
    chart = steps("ABW", "AW", W="watch(N);") + way("A", "B", "go") + way("B", "A", "on")
    chart += " ACTION watch: t := A.T; END_ACTION"
    text = f"PROGRAM p VAR go, on : BOOL; t : TIME; END_VAR {chart} END_PROGRAM"
    rows = scans(text, {3: TRUE, 4: {"go": False, "on": True}}, count=7)
    assert [row["t"] // 1_000_000 for row in rows] == [0, 10, 20, 30, 0, 10, 20]


def test_two_networks_go_their_own_ways():
    """Several charts in one body are several networks, each with an initial step."""
    chart = steps("ABCD", "AC") + way("A", "B", "go") + way("C", "D", "on") + way("D", "C", "go")
    given = {1: TRUE, 2: {"on": True}}
    assert active(chart, given, count=4, names="ABCD") == ["AC", "BC", "BD", "BC"]


def test_simultaneous_sequences_wait_for_the_slower():
    """Divergence enters both branches at once; the convergence waits until both are at their ends."""
    chart = steps("ABCDE") + way("A", "(B, C)", "go") + way("B", "D", "on") + way("(D, C)", "E")
    given = {1: TRUE, 4: {"on": True}}
    assert active(chart, given, count=7, names="ABCDE") == ["A", "BC", "BC", "BC", "CD", "E", "E"]


def test_flags_of_steps_in_instances():
    """Each instance of a block has steps of its own, in arrays too; their flags can be read from outside.

    A scan is 10 ms; B lasts from scan 1 until its T is 20 ms, in scan 3. T is held when B is left.
    """
    text = f"""
    FUNCTION_BLOCK Cycle
    VAR_INPUT go : BOOL; END_VAR
    {steps("AB")} {way("A", "B", "go")} {way("B", "A", "B.T >= T#20ms")}
    END_FUNCTION_BLOCK
    PROGRAM p
    VAR one : Cycle; more : ARRAY [1..2] OF Cycle; go, first, second, third : BOOL; t : TIME; END_VAR
    one(go := go); more[1](go := FALSE); more[2](go := one.B.X);
    first := one.B.X; second := more[1].B.X; third := more[2].B.X; t := one.B.T;
    END_PROGRAM"""
    rows = scans(text, {1: {"go": True}, 2: {"go": False}}, unit="p", count=6)
    assert [(r["first"], r["second"], r["third"], r["t"] // 1_000_000) for r in rows] == [
        (False, False, False, 0),
        (True, False, True, 0),
        (True, False, True, 10),
        (False, False, False, 20),
        (False, False, False, 20),
        (False, False, False, 20),
    ]
