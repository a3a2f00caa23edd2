"""The rules of a machine in their order, each under a name of its own.

Whether the signals they name exist is checked by the rig, which knows them. Rule: a book is
checked when it is built.
"""

from collections.abc import Iterable, Iterator, Sequence

from simplant.errors import RuleError, nearest
from simplant.rules.claim import Claim, fail


class Book:
    """An ordered set of claims with unique names.

    Args:
        claims: claims, or lists of claims such as `interlock` gives.

    Raises:
        RuleError: two of one name, or something that is no claim.
    """

    __slots__ = ("_claims",)

    def __init__(self, claims: Iterable[Claim | Sequence[Claim]] = ()) -> None:
        """Check and keep the claims."""
        self._claims: dict[str, Claim] = {}
        for claim in _flat(claims):
            first = self._claims.get(claim.name)
            if first is not None:
                raise RuleError(
                    f"a second rule is named {claim.name!r}",
                    f"the first is at {first.place}" if first.place else "",
                    'give one of them another name="..."',
                    claim.place,
                )
            self._claims[claim.name] = claim

    def __iter__(self) -> Iterator[Claim]:
        """Go through the claims in order."""
        return iter(self._claims.values())

    def __len__(self) -> int:
        """Count the claims."""
        return len(self._claims)

    def __contains__(self, name: object) -> bool:
        """Say whether there is a rule of that name."""
        return name in self._claims

    def __getitem__(self, name: str) -> Claim:
        """Give a rule by name; raises `RuleError` naming the nearest."""
        if name not in self._claims:
            raise RuleError(f"there is no rule {name!r}", mend=nearest(name, self._claims))
        return self._claims[name]

    @property
    def names(self) -> tuple[str, ...]:
        """The names in order."""
        return tuple(self._claims)


def _flat(claims: Iterable[Claim | Sequence[Claim]]) -> Iterator[Claim]:
    for each in claims:
        if isinstance(each, Claim):
            yield each
        elif isinstance(each, list | tuple):
            yield from _flat(each)
        else:
            raise fail(f"{each!r} is no rule", mend="write for instance always(clamp_closed)")
