"""The pulse controller: a small processor that turns three lines into steps and an arm position.

It polls its lines, keeps its direction while it moves, and is busy until the ramp down is over.
"""

from simplant import Program, ms


def build(tags):
    """Make the program of the pulse controller."""
    p = Program("pulses", tags)
    t = p.tags
    p.set(t.table_right, t.right_line & ~t.busy, "direction only from standstill")
    p.reset(t.table_right, ~t.right_line & ~t.busy)
    p.rung(t.table_move, t.run_line & (t.right_line == t.table_right), "never against the direction line")
    ramp_down = p.tof("ramp_down", t.table_move, ms(300))
    p.rung(t.busy, ramp_down.Q, "moving, or still braking")
    p.rung(t.arm_open, t.release_line)
    return p
