"""References among the first values of a block: to variables of the block itself, whatever an instance is named.

Rule: a block names its own places without itself; who lays out an instance puts its name before them.
"""


class OwnPlace(str):
    """The name of a place as a block itself names it; an instance puts its own name before it."""

    __slots__ = ()


def refers_inside(initial: object) -> bool:
    """Say whether a first value has references to variables of the block itself."""
    if isinstance(initial, list | dict):
        return any(refers_inside(each) for each in (initial.values() if isinstance(initial, dict) else initial))
    return isinstance(initial, OwnPlace)


def inside(initial: object, name: str) -> object:
    """Give a first value as an instance has it."""
    match initial:
        case list():
            return [inside(each, name) for each in initial]
        case dict():
            return {key: inside(each, name) for key, each in initial.items()}
        case OwnPlace():
            return f"{name}.{initial}"
        case _:
            return initial
