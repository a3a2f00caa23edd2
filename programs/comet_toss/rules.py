"""What is demanded of comet_toss."""

from simplant.rules import always


def build(machine):
    """Give the claims."""
    t = machine.program.tags
    speed = machine.truth("wheel.speed")
    return [always(t.gate_release_cmd.implies(speed > 200.0), name="release at speed", unit="rad/s")]
