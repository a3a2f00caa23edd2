"""Drawing stories with hypothesis, which finds, steers and shrinks.

What a story is stands in story.py. Plain numbers, one draw each, are quick and shrink well; measured beside other
forms in `tests/bench/draws.py`. Rule: this is the one file that knows hypothesis.
"""

from hypothesis import strategies as st

from simplant.fuzz.story import BYTES, MOST_NOISE, PHASES, SLOTS, Story, words_of


def stories(whats: int, plays: int, instants: int) -> st.SearchStrategy[Story]:
    """Draw stories.

    Shrinks towards few things, early, of the usual duration, on the grid, with nominal parameters and all kinds of
    faults allowed.

    Args:
        whats: how many things can happen on the machine, from 1.
        plays: how many ways of play it has, from 1.
        instants: how many instants the grid has, from 1.
    """
    noise, play, phase = st.integers(0, MOST_NOISE - 1), st.integers(0, plays - 1), st.integers(0, PHASES - 1)
    words = st.binary(min_size=BYTES, max_size=BYTES)
    what, when = st.integers(0, whats), st.integers(0, instants - 1)

    @st.composite
    def whole(draw: st.DrawFn) -> Story:
        head = (draw(noise), draw(play), draw(phase))
        mask, spans = words_of(draw(words))
        return Story(*head, mask, spans, tuple((draw(what), draw(when)) for _ in range(SLOTS)))

    return whole()
