"""What is demanded of sump_pumps: on the truth of the plant wherever there is one."""

from simplant import minutes, ms, seconds
from simplant.rules import (
    alternates,
    always,
    at_most_for,
    count_at_most,
    holds,
    holds_for,
    never,
    settles_within,
    within,
)

TOLERANCE = 1.02  # of the level at which a float tips over
STOP = 0.4 / TOLERANCE - 0.05 * 1.3  # where the stop float has tipped back for sure, m
STANDBY, HIGH = 1.3 * TOLERANCE, 1.6 * TOLERANCE  # where these two have tipped over for sure, m
ONE_PUMP = 0.009  # what one pump lifts for sure, m3/s
STARTS = 20  # an hour: what the motors bear
SEEN = 1.5  # s: float 0.3, filter 1, scans, outputs and contactor
HELP = seconds(str(SEEN + 30 + 5))  # and a motor at rest for 30 s, 5 s after the other
RUN = ms(
    10_000 - 26 + 10
)  # 10 s of command: the contactor closes late, by 26 ms at most, and opens late, by 10 at least
WORK = seconds(str(SEEN + 30 + 5 + 0.7))  # and a pump from start to flow


def build(machine):
    """Give the claims."""
    truth, memories = machine.truth, machine.program.memories
    level, overflowing = truth("sump.level"), truth("sump.overflowing")
    called = ~truth("telemetry.closed")
    on = {n: truth(f"contactor_{n}.closed") for n in (1, 2)}
    any_on = on[1] | on[2]
    both_ready = memories["ready_1"] & memories["ready_2"]
    auto = (truth("selector_1.position") == 1) & (truth("selector_2.position") == 1)
    low = level < STOP - 0.01
    claims = [
        holds(~(on[1] & on[2]), for_=seconds(4), after=any_on, name="motors start apart", faults="single"),
        within((on[1] & on[2]) | ~auto, HELP, after=(level > STANDBY) & any_on & auto, name="standby helps"),
        at_most_for(low, seconds(12), while_=any_on, name="pumps stop at the stop level", faults="single"),
        at_most_for(low, seconds(330), while_=any_on, name="pumps give up below the stop level", faults="single"),
        within(called, seconds(5), after=level > HIGH, name="high level calls the attendant", faults="single"),
        within(called, seconds(8), after=overflowing, name="overflow calls the attendant", faults="single"),
        alternates(on[1], on[2], unless=(on[1] & on[2]) | ~both_ready, name="pumps start in turn"),
        at_most_for(
            overflowing & (truth("sump.coming_in") < ONE_PUMP),
            WORK,
            while_=auto,
            name="no overflow while one pump is enough",
            faults="single",
        ),
    ]
    for n in (1, 2):
        dry_run = truth(f"pump_{n}.dry") & truth(f"pump_{n}.running")
        tripped, position = truth(f"pump_{n}.tripped"), truth(f"selector_{n}.position")
        claims += [
            never(dry_run, name=f"pump {n} never runs dry", faults="single"),
            at_most_for(on[n], ms(200), while_=tripped, name=f"tripped pump {n} is not driven", faults="single"),
            at_most_for(on[n], ms(500), while_=position == 0, name=f"pump {n} off is off", faults="single"),
            holds_for(~on[n], seconds(30), name=f"pump {n} rests"),
            holds_for(on[n], RUN, unless=position == 0, name=f"pump {n} runs for a while"),
            count_at_most(on[n], STARTS, window=minutes(60), name=f"pump {n} does not start too often"),
            settles_within(~(on[n] ^ machine.program.tags[f"pump_{n}_run_cmd"]), ms(100), name=f"contactor {n} obeys"),
            settles_within(~(on[n] ^ truth(f"lamp_{n}.lit")), ms(200), name=f"lamp {n} shows contactor {n}"),
            always(memories[f"starts_{n}"] >= 0, name=f"starts of pump {n} do not turn over"),
        ]
    return claims
