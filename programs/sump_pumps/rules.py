"""What is demanded of sump_pumps: on the truth of the plant wherever there is one."""

from simplant import ms, seconds
from simplant.rules import at_most_for, before, holds, holds_for, never, settles_within, within
from simplant.expr import Ref
from simplant.values import BOOL


def build(machine):
    """Give the claims."""
    t, truth = machine.program.tags, machine.truth
    level, telephone_quiet = truth("sump.level"), truth("telemetry.closed")
    on = {n: truth(f"contactor_{n}.closed") for n in (1, 2)}
    claims = [
        holds(~(on[1] & on[2]), for_=seconds(4), after=on[1] | on[2], name="motors start apart", faults="single"),
        within(~telephone_quiet, seconds(5), after=level > 1.61, name="high level calls the attendant", faults="single"),
        within(on[1] & on[2], seconds(10), after=(level > 1.31) & (on[1] | on[2]), name="standby helps"),
        at_most_for((level < 0.34) & (on[1] | on[2]), seconds(12), name="pumps stop at the stop level", faults="single"),
        at_most_for((level < 0.34) & (on[1] | on[2]), seconds(330), name="pumps give up below the stop level", faults="single"),
        never(
            truth("sump.overflowing") & (truth("sump.coming_in") < 0.009),
            name="no overflow while one pump is enough",
            faults="single",
        ),
        within(
            ~telephone_quiet, seconds(8), after=truth("sump.overflowing"), name="overflow calls the attendant", faults="single"
        ),
    ]
    for n, other in ((1, 2), (2, 1)):
        pump, cmd = f"pump_{n}", t[f"pump_{n}_run_cmd"]
        ready = Ref(f"ready_{other}", BOOL)
        first = Ref(f"starts_{n}", machine.program.declared[f"starts_{n}"].type) == 0
        position = truth(f"selector_{n}.position")
        claims += [
            never(truth(f"{pump}.dry") & truth(f"{pump}.running"), name=f"pump {n} never runs dry", faults="single"),
            at_most_for(truth(f"{pump}.tripped") & on[n], ms(200), name=f"tripped pump {n} is not driven", faults="single"),
            at_most_for((position == 0) & on[n], ms(500), name=f"pump {n} off is off", faults="single"),
            holds_for(~on[n], seconds(30), name=f"pump {n} rests"),
            holds_for(on[n] , seconds(9), name=f"pump {n} runs for a while"),
            before(on[other] | first | (position == 2) | ~ready, on[n], since=on[n], name=f"pump {n} starts in turn"),
            settles_within(~(on[n] ^ cmd), ms(100), name=f"contactor {n} obeys"),
        ]
    return claims
