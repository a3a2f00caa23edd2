"""Draws held against the published start of the splitmix64 sequence.

Source: from memory: first outputs of splitmix64 with seed 0, as printed with its reference implementation.
"""

from simplant.chance import _STEP, _mix, draw

FROM_SEED_0 = (0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F)


def test_splitmix64_sequence():
    assert tuple(_mix((k + 1) * _STEP) for k in range(3)) == FROM_SEED_0


def test_draws_are_even_and_separate():
    """A stream fills [0, 1) evenly; another name, seed or count gives another number."""
    tenths = [0] * 10
    for k in range(10_000):
        tenths[int(draw(7, "balls.transit", k) * 10)] += 1
    assert all(900 < n < 1100 for n in tenths)
    assert len({draw(7, "a", 0), draw(8, "a", 0), draw(7, "b", 0), draw(7, "a", 1)}) == 4
