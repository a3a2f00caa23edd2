"""Laws of named chance: pure, even, independent of the process it runs in."""

import subprocess
import sys

from hypothesis import given, settings
from hypothesis import strategies as st

from simplant.chance import below, draw, stream


@settings(max_examples=100)
@given(st.integers(), st.text(max_size=8), st.integers(0, 2**40), st.integers(1, 10**12))
def test_whole_draws_go_with_the_plain_ones(seed, name, k, count):
    """A draw lies in [0, 1), a whole draw below its count, and both come from the same word."""
    number = draw(seed, name, k)
    assert 0 <= number < 1
    assert below(stream(seed, name), k, 2**53) == int(number * 2**53)
    assert 0 <= below(stream(seed, name), k, count) < count


def test_even_and_unlike_its_neighbours():
    """Mean and spread of a long stream are those of an even one; streams of like names are not alike."""
    for name in ("gate", "gatf", "etag", ""):
        numbers = [draw(7, name, k) for k in range(4000)]
        mean = sum(numbers) / 4000
        assert abs(mean - 0.5) < 0.02
        assert abs(sum((x - mean) ** 2 for x in numbers) / 4000 - 1 / 12) < 0.005
    firsts = {draw(seed, name, 0) for seed in range(5) for name in ("a", "b", "ab", "ba", "a.b")}
    assert len(firsts) == 25


def test_any_hash_seed_gives_the_same_draws():
    """The order of chance does not hang on PYTHONHASHSEED."""
    code = "from simplant.chance import draw; print([draw(3, n, 9) for n in ('lift', 'wheel')])"
    outs = {
        subprocess.run(
            [sys.executable, "-c", code], env={"PYTHONHASHSEED": seed}, capture_output=True, text=True, check=True
        ).stdout
        for seed in ("0", "1")
    }
    assert outs == {f"{[draw(3, n, 9) for n in ('lift', 'wheel')]}\n"}
