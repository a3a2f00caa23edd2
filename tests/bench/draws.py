"""Forms in which a story could be drawn, timed beside the shipped one: `python -m tests.bench.draws`.

The shipped one is simplant/fuzz/draw.py. Rule: each draws the same numbers; only how hypothesis is asked differs.
"""

from collections.abc import Callable

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from rich.console import Console
from rich.table import Table

from simplant.fuzz.draw import stories
from tests.bench.clock import in_turn

DRAWS, TURNS = 300, 5
SIZES = (479, 6, 6000)
WORDS = (st.integers(0, 65535), st.integers(0, 5), st.integers(0, 9999), st.binary(min_size=8, max_size=8))
WHAT, WHEN = st.integers(0, 479), st.integers(0, 5999)


@st.composite
def counted(draw: st.DrawFn) -> tuple[object, ...]:
    """As many slots as another draw says."""
    return (*(draw(word) for word in WORDS), *((draw(WHAT), draw(WHEN)) for _ in range(draw(st.integers(0, 8)))))


FORMS: dict[str, SearchStrategy[object]] = {
    "one integer (for comparison)": st.integers(0, 1_000_000),
    "shipped: composite, 8 slots": stories(*SIZES),
    "composite, drawn number of slots": counted(),
    "one tuple of 20": st.tuples(*WORDS, *([WHAT, WHEN] * 8)),
    "list of pairs": st.tuples(*WORDS, st.lists(st.tuples(WHAT, WHEN), max_size=8)),
    "40 bytes": st.binary(min_size=40, max_size=40),
}


def drawing(form: SearchStrategy[object]) -> Callable[[], None]:
    """Give a test of one form with an empty body."""

    @settings(
        max_examples=DRAWS, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(form)
    def empty(_drawn: object) -> None:
        pass

    return empty


if __name__ == "__main__":
    table = Table("form", "ms a case")
    for name, best in zip(FORMS, in_turn(TURNS, *(drawing(form) for form in FORMS.values())), strict=True):
        table.add_row(name, f"{best * 1e3 / DRAWS:.3f}")
    Console().print(table)
