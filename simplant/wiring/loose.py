"""A loose terminal: a circuit that opens now and then, deterministically.

The points that have one are in points.py. Rule: the drop-out of a second is a pure function of seed, name and second,
counted from the onset.
"""

from typing import Final

from simplant.chance import below, stream
from simplant.timebase import Ns, from_float_seconds, ms, seconds, us

_SECOND: Final = seconds(1)
_BRIEFEST: Final = ms(5)
_LONGEST: Final = ms(900)


class Loose:
    """One loose terminal from its onset on: in each second it opens once, for 5 ms up to a longest time."""

    __slots__ = ("_base", "_since", "due")

    def __init__(self, seed: int, name: str, since: Ns) -> None:
        self._base: Final = stream(seed, f"{name}.intermittent")
        self._since: Final = since
        self.due: Ns = since
        """When it opens or closes next."""

    def opens(self, now: Ns, longest: float) -> bool:
        """Say whether it is open now; `longest` in seconds, held within 5 ms and 0.9 s."""
        most = Ns(min(max(from_float_seconds(longest), _BRIEFEST), _LONGEST))
        second = (now - self._since) // _SECOND
        begins, ends = self._gap(second, most)
        if now >= ends:
            self.due = self._gap(second + 1, most)[0]
        else:
            self.due = ends if now >= begins else begins
        return begins <= now < ends

    def _gap(self, second: int, most: Ns) -> tuple[Ns, Ns]:
        lasts = _BRIEFEST + self._draw(2 * second, most - _BRIEFEST)
        begins = self._since + second * _SECOND + us(1) + self._draw(2 * second + 1, _SECOND - lasts - us(1))
        return Ns(begins), Ns(begins + lasts)

    def _draw(self, k: int, most: int) -> int:
        """Draw a time from 0 to `most`, in whole microseconds."""
        return below(self._base, k, most // us(1) + 1) * us(1)
