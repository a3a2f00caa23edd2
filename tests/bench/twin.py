"""The logic of comet_toss once more, by hand in plain Python: a class with attributes and methods.

programs/comet_toss/logic.py is the program; this is what it is timed against (`python -m tests.bench`), written as
one would write it without a scan kernel. Rule: the same steps, outputs and memory, scan for scan
(tests/agree/test_twin.py).
"""

from typing import NamedTuple

MS = 1_000_000
S = 1_000_000_000
SPOT_ANGLE = {1: -500, 2: -250, 3: 0, 4: 250, 5: 500}
HOME = -500
TOSSES_PER_HOMING = 6
RAISE_LOW, RAISE_HIGH = 1780 * MS, 5200 * MS

BEFORE_CALLS = frozenset({
    "lower", "home_lift", "lowered", "home_left", "home_rest", "home_turn", "home_right", "homed", "turn_up", "raise",
    "wait",
})  # fmt: skip
SERVING = frozenset({"aim_way", "aim", "settle", "load", "warn", "toss", "leave", "air"})
RUNNING = BEFORE_CALLS | SERVING
STOPPABLE = RUNNING - {"toss", "leave"}
LEAVING = frozenset({"off", "ready", "tripped"})
RESTING = LEAVING | {"stopping"}


class Inputs(NamedTuple):
    """One input image."""

    estop_healthy: bool
    guard_closed: bool
    start_pressed: bool
    stop_released: bool
    reset_pressed: bool
    mode_1: bool
    mode_2: bool
    table_at_left: bool
    table_at_right: bool
    gate_seen: bool
    return_beam: bool
    pulses_busy: bool
    wheel_contactor_dropped: bool
    attendant_enable: bool
    call_1: bool
    call_2: bool
    call_3: bool
    call_4: bool
    call_5: bool


class OnDelay:
    """TRUE once its input has been TRUE for a time."""

    def __init__(self, preset: int) -> None:
        self.preset = preset
        self.since = -1
        self.done = False

    def update(self, on: bool, now: int) -> bool:
        if not on:
            self.since = -1
            self.done = False
        else:
            if self.since < 0:
                self.since = now
            if not self.done:
                self.done = now - self.since >= self.preset
        return self.done


class OffDelay:
    """TRUE with its input, and for a time after it."""

    def __init__(self, preset: int) -> None:
        self.preset = preset
        self.since = -1
        self.on = False

    def update(self, on: bool, now: int) -> bool:
        if on:
            self.on = True
            self.since = -1
        elif self.on:
            if self.since < 0:
                self.since = now
            self.on = now - self.since < self.preset
        return self.on


class Rise:
    """TRUE for the one scan in which its input rises."""

    def __init__(self) -> None:
        self.was = False

    def update(self, on: bool) -> bool:
        rose = on and not self.was
        self.was = on
        return rose


class Fall:
    """TRUE for the one scan in which its input falls."""

    def __init__(self) -> None:
        self.was = False

    def update(self, on: bool) -> bool:
        fell = self.was and not on
        self.was = on
        return fell


class CometToss:
    """The controller's program: `scan` reads an input image and sets the outputs."""

    def __init__(self) -> None:
        self.tosses = self.balls_lost = 0
        self.quickest = dict.fromkeys(SPOT_ANGLE, 99 * S)
        self.outputs = (False,) * 12
        self.restart()

    def restart(self) -> None:
        """Start again after a loss of power; what is retained stays."""
        self.first = True
        self.step, self.since, self.over = "off", 0, ""
        self.mode = self.mode_was = (False, False)
        self.mode_moved = False
        self.queue = [0, 0, 0, 0, 0]
        self.spot, self.angle, self.target, self.travel, self.halt = 0, HOME, 0, 0, 0
        self.go_right = self.go_up = self.high = False
        self.since_homing, self.tour_at = TOSSES_PER_HOMING, 0
        self.from_limit = False
        self.arm_seen = self.ball_gone = self.stop_wanted = False
        self.alarms: set[str] = set()
        self.first_out = ""
        self.wheel_run = self.lift_run = self.table_run = self.table_right = self.gate_release = False
        self.start, self.right, self.left, self.beam = Rise(), Rise(), Rise(), Rise()
        self.reset, self.gate_falls, self.gate_rises = Fall(), Fall(), Rise()
        self.calls = {n: Rise() for n in SPOT_ANGLE}
        self.welded, self.not_closing = OnDelay(300 * MS), OnDelay(300 * MS)
        self.busy_late, self.moved, self.not_busy = OnDelay(1 * S), OffDelay(200 * MS), OnDelay(50 * MS)
        self.wheel_ready, self.ball_rests, self.released = OnDelay(3 * S), OnDelay(600 * MS), OffDelay(400 * MS)
        self.limit_left = OnDelay(100 * MS)
        self.table_rests, self.lift_rests = OnDelay(200 * MS), OnDelay(200 * MS)
        self.jogs_table, self.jogs_lift = OnDelay(200 * MS), OnDelay(200 * MS)

    def scan(self, i: Inputs, now: int) -> tuple[bool, ...]:
        """Run one scan; give the outputs in the order of the I/O list."""
        self.was_reset = self.reset.update(i.reset_pressed)
        self.watch_mode(i)
        self.started = self.start.update(i.start_pressed) and not self.mode_moved
        self.watch(i, now)
        self.take_calls(i)
        self.watch_gate(i, now)
        if (not i.stop_released or self.mode_moved) and (self.step in RUNNING or self.step == "jog"):
            self.stop_wanted = True
        if self.step in RESTING:
            self.stop_wanted = False
        self.sequence(i, now)
        if self.step in LEAVING:
            self.queue = [0, 0, 0, 0, 0]
        if self.step == "aim_way":
            self.target = SPOT_ANGLE.get(self.spot, self.target)
            scans = (abs(self.target - self.angle) + 2) // 4
            self.travel = scans * 10 * MS
            self.go_right = self.target > self.angle
            self.halt = self.angle + (scans if self.go_right else -scans) * 4
        self.jog(i, now)
        self.first = False
        return self.drive(i)

    def watch_mode(self, i: Inputs) -> None:
        """Take the mode, and note whether it turned."""
        self.mode = (i.mode_1, i.mode_2)
        self.mode_moved = self.mode != self.mode_was
        self.mode_was = self.mode
        self.calls_mode = self.mode == (True, False)
        self.tour_mode = self.mode == (False, True)
        self.service_mode = self.mode == (True, True)

    def watch(self, i: Inputs, now: int) -> None:
        """Look for causes to trip."""
        right_edge, left_edge = self.right.update(i.table_at_right), self.left.update(i.table_at_left)
        self.beam_broken = self.beam.update(i.return_beam)
        welded = self.welded.update(not self.wheel_run and not i.wheel_contactor_dropped, now)
        not_closing = self.not_closing.update(self.wheel_run and i.wheel_contactor_dropped, now)
        busy_late = self.busy_late.update(i.pulses_busy and not self.table_run, now)
        not_busy = self.not_busy.update(self.moved.update(self.table_run, now) and not i.pulses_busy, now)
        watched = not self.first and self.step != "off"
        left_behind = (self.table_right and left_edge) or (not self.table_right and right_edge)
        ahead = i.table_at_right if self.table_right else i.table_at_left
        causes = {
            "estop": watched and not i.estop_healthy,
            "guard_open": watched and not i.guard_closed,
            "reset_in_service": i.reset_pressed and (self.step in RUNNING or self.step == "jog"),
            "both_limits": i.table_at_left and i.table_at_right,
            "wrong_limit": (self.step == "home_left" and right_edge) or (self.table_run and left_behind),
            "overtravel": self.step == "aim" and ahead,
            "home_lost": self.over in ("home_left", "home_right"),
            "no_ball": self.over == "load",
            "gate_jam": self.over == "leave",
            "wheel_welded": welded,
            "wheel_open": not_closing,
            "pulses_lost": busy_late or not_busy,
        }
        if self.was_reset:
            self.alarms.clear()
            self.first_out = ""
        for name, present in causes.items():
            if present:
                self.alarms.add(name)
                self.first_out = self.first_out or name

    def take_calls(self, i: Inputs) -> None:
        """Queue the calls of the visitors in the order in which they came."""
        buttons = (i.call_1, i.call_2, i.call_3, i.call_4, i.call_5)
        for number, pressed in enumerate(buttons, 1):
            if not self.calls[number].update(pressed) or not self.calls_mode or self.step not in RUNNING:
                continue
            served = self.spot == number and self.step in SERVING
            if not served and number not in self.queue and 0 in self.queue:
                self.queue[self.queue.index(0)] = number

    def watch_gate(self, i: Inputs, now: int) -> None:
        """Follow wheel, ball and arm."""
        self.wheel_ready.update(self.wheel_run, now)
        self.limit_left.update(self.step == "home_right" and not i.table_at_left, now)
        self.ball_rests.update(i.gate_seen, now)
        released = self.released.update(self.gate_release, now)
        rises, falls = self.gate_rises.update(i.gate_seen), self.gate_falls.update(i.gate_seen)
        if rises and released:
            self.arm_seen = True
        if falls and released and not self.ball_gone:
            self.ball_gone = True
            self.tosses = min(self.tosses, 31999) + 1

    def enter(self, step: str, now: int) -> None:
        """Leave the active step and enter another."""
        if self.step == "aim":
            self.angle = self.halt
        self.step, self.since = step, now
        if step == "lower":
            self.go_up = self.go_right = False
        elif step == "home_turn":
            self.go_right = True
        elif step == "homed":
            self.angle, self.since_homing = HOME, 0
        elif step == "turn_up":
            self.go_up = True
        elif step == "toss":
            self.arm_seen = self.ball_gone = False
            self.since_homing += 1

    def sequence(self, i: Inputs, now: int) -> None:
        """Go on to the next step if there is cause to."""
        self.over = ""
        if self.first:
            self.since = now
            return
        if self.step != "tripped" and self.first_out:
            self.enter("tripped", now)
            return
        if self.step in STOPPABLE and self.stop_wanted:
            self.enter("stopping", now)
            return
        to = getattr(self, f"from_{self.step}")(i, now - self.since)
        if to:
            self.enter(to, now)

    def limit(self, elapsed: int, most: int) -> str:
        """Trip if a step takes too long."""
        if elapsed < most:
            return ""
        self.over = self.step
        return "tripped"

    def from_off(self, i: Inputs, _elapsed: int) -> str:
        return "ready" if self.was_reset and i.estop_healthy and i.guard_closed else ""

    def from_ready(self, i: Inputs, _elapsed: int) -> str:
        if not self.started or not i.stop_released:
            return ""
        if self.service_mode:
            return "jog"
        if not (self.calls_mode or self.tour_mode):
            return ""
        self.tour_at, self.high, self.since_homing = 0, False, TOSSES_PER_HOMING
        return "lower"

    def from_lower(self, _i: Inputs, elapsed: int) -> str:
        return "home_lift" if elapsed >= 300 * MS else ""

    def from_home_lift(self, _i: Inputs, elapsed: int) -> str:
        return "lowered" if elapsed >= 10 * S else ""

    def from_lowered(self, i: Inputs, elapsed: int) -> str:
        if elapsed < 300 * MS:
            return ""
        if self.since_homing < TOSSES_PER_HOMING:
            return "turn_up"
        self.from_limit = i.table_at_left
        return "home_left"

    def from_home_left(self, i: Inputs, elapsed: int) -> str:
        return "home_rest" if i.table_at_left else self.limit(elapsed, 6 * S)

    def from_home_rest(self, _i: Inputs, elapsed: int) -> str:
        return "home_turn" if elapsed >= 500 * MS else ""

    def from_home_turn(self, _i: Inputs, elapsed: int) -> str:
        return "home_right" if elapsed >= 300 * MS else ""

    def from_home_right(self, _i: Inputs, elapsed: int) -> str:
        return "homed" if self.limit_left.done else self.limit(elapsed, 2 * S)

    def from_homed(self, _i: Inputs, elapsed: int) -> str:
        if elapsed < 500 * MS:
            return ""
        if self.from_limit:
            self.go_right = False
            self.since_homing = TOSSES_PER_HOMING
            return "lowered"
        return "turn_up"

    def from_turn_up(self, _i: Inputs, elapsed: int) -> str:
        return "raise" if elapsed >= 300 * MS else ""

    def from_raise(self, _i: Inputs, elapsed: int) -> str:
        return "wait" if elapsed >= (RAISE_HIGH if self.high else RAISE_LOW) else ""

    def from_wait(self, _i: Inputs, _elapsed: int) -> str:
        want_high = self.tour_mode and self.tour_at >= 5
        if self.since_homing >= TOSSES_PER_HOMING or want_high != self.high:
            self.high, self.since_homing = want_high, TOSSES_PER_HOMING
            return "lower"
        if self.queue[0] and self.calls_mode:
            self.spot = self.queue.pop(0)
            self.queue.append(0)
            return "aim_way"
        if not self.tour_mode:
            return ""
        if self.tour_at >= 10:
            return "stopping"
        self.spot = self.tour_at % 5 + 1
        self.tour_at += 1
        return "aim_way"

    def from_aim_way(self, _i: Inputs, elapsed: int) -> str:
        if elapsed >= 20 * MS and self.halt == self.angle:
            return "settle"
        return "aim" if elapsed >= 300 * MS else ""

    def from_aim(self, _i: Inputs, elapsed: int) -> str:
        return "settle" if elapsed >= self.travel - 5 * MS else ""

    def from_settle(self, _i: Inputs, elapsed: int) -> str:
        return "load" if elapsed >= 500 * MS else ""

    def from_load(self, _i: Inputs, elapsed: int) -> str:
        return "warn" if self.ball_rests.done and self.wheel_ready.done else self.limit(elapsed, 15 * S)

    def from_warn(self, _i: Inputs, elapsed: int) -> str:
        return "toss" if elapsed >= 1600 * MS else ""

    def from_toss(self, _i: Inputs, elapsed: int) -> str:
        return "leave" if elapsed >= 130 * MS else ""

    def from_leave(self, _i: Inputs, elapsed: int) -> str:
        return "air" if elapsed >= 800 * MS and self.arm_seen else self.limit(elapsed, 1 * S)

    def from_air(self, _i: Inputs, elapsed: int) -> str:
        if self.beam_broken:
            self.quickest[self.spot] = min(self.quickest[self.spot], elapsed)
            return "wait"
        if elapsed < 25 * S:
            return ""
        self.balls_lost = min(self.balls_lost, 31999) + 1
        return "wait"

    def from_stopping(self, i: Inputs, elapsed: int) -> str:
        return "ready" if elapsed >= 1 * S and i.stop_released else ""

    def from_jog(self, _i: Inputs, _elapsed: int) -> str:
        return "stopping" if self.stop_wanted or not self.service_mode else ""

    def from_tripped(self, _i: Inputs, _elapsed: int) -> str:
        return "" if self.first_out else "off"

    def jog(self, i: Inputs, now: int) -> None:
        """Move an axis while the attendant holds two buttons; turn directions only from rest."""
        hold = self.step == "jog" and i.attendant_enable and i.stop_released
        left, right = hold and i.call_1 and not i.call_2, hold and i.call_2 and not i.call_1
        down, up = hold and i.call_3 and not i.call_4, hold and i.call_4 and not i.call_3
        table_rests = self.table_rests.update(not self.table_run and not i.pulses_busy, now)
        lift_rests = self.lift_rests.update(not self.lift_run, now)
        leaving = self.step in LEAVING
        if (left or right or leaving) and table_rests:
            self.go_right = right
        if (down or up or leaving) and lift_rests:
            self.go_up = up
        self.jogs_table.update((left and not self.go_right) or (right and self.go_right), now)
        self.jogs_lift.update((down and not self.go_up) or (up and self.go_up), now)

    def drive(self, i: Inputs) -> tuple[bool, ...]:
        """Set the outputs."""
        step, safe = self.step, i.estop_healthy and i.guard_closed and not self.first_out
        turning = step in ("home_left", "home_right", "aim") or self.jogs_table.done
        blocked = i.table_at_right if self.go_right else i.table_at_left
        self.wheel_run = safe and step in RUNNING
        self.lift_run = safe and (step in ("home_lift", "raise") or self.jogs_lift.done)
        self.table_run = safe and turning and not blocked
        self.table_right = self.go_right
        self.gate_release = safe and step == "toss"
        red, yellow = step in ("off", "tripped"), step in ("warn", "toss")
        self.outputs = (
            self.wheel_run, self.lift_run, self.go_up, self.table_run, self.table_right, safe and step not in LEAVING,
            self.gate_release, red, yellow, step in RUNNING or step == "jog", yellow, red,
        )  # fmt: skip
        return self.outputs
