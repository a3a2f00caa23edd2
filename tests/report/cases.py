"""Random courses and windows for the tests of the chart."""

from random import Random

from simplant.report.courses import Course, Kind

SECOND = 10**9


def level(dice: Random, changes: int, end: int) -> Course:
    """A level that pulses: bursts of pulses of microseconds between long rests."""
    times = {0}
    while len(times) <= changes:
        at = dice.randrange(1, end)
        times.update(at + n * dice.choice((1_000, 50_000, 10_000_000)) for n in range(dice.randrange(1, 6)))
    ordered = sorted(t for t in times if t <= end)
    return Course("pulse", Kind.LEVEL, ordered, [n % 2 for n in range(len(ordered))])


def words(dice: Random, changes: int, end: int) -> Course:
    """A chart that goes from step to step."""
    course = level(dice, changes, end)
    names = ("off", "aim", "toss", "air")
    return Course("cycle", Kind.WORD, course.times, [names[n * 7 % 4] for n in range(len(course.times))])


def number(dice: Random, changes: int, end: int, kind: Kind) -> Course:
    """A number that steps or moves."""
    course = level(dice, changes, end)
    return Course("speed", kind, course.times, [dice.randrange(-500, 500) for _ in course.times])


def windows(dice: Random, many: int, end: int) -> list[tuple[int, int, int]]:
    """Windows of all sizes: (first, last, columns)."""
    found = []
    for _ in range(many):
        span = min(end, max(2_000, int(end / 10 ** (dice.random() * 8))))
        first = dice.randrange(0, end - span + 1)
        found.append((first, first + span, dice.choice((61, 300, 1024))))
    return found
