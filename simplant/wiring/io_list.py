"""The I/O list: the one thing that program and plant share, as points in the order of the file.

Reading `io.csv` is in io_file.py, what a point does electrically in points.py, checks against
the machine's parts in checks.py. Rule: a list never changes; swapping wires makes another one.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from simplant.errors import Place, WiringError, nearest
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import Value
from simplant.wiring.analog_span import AnalogSpan
from simplant.wiring.levels import INPUT_TYPES, ContactForm, InputType, SignalKind


@dataclass(frozen=True, slots=True)
class Point:
    """One row of the I/O list: a tag and how it is wired.

    Args:
        tag: name, type, direction and address.
        part: name of the part it goes to.
        terminal: of an input, the part's output that says "actuated" or is measured; of an output, the part's input
            it commands.
        contact: normally open or closed (inputs).
        signal: how the device signals.
        supply: name of the supply part that feeds it; "" = taken as healthy.
        input_type: what the controller's input reads as 1 (inputs).
        filter: time for which a new level must last before it is believed, ns (inputs).
        safe: the level or number it is given when the controller stops or its watchdog trips (outputs).
        wire, strip, cable: number of the wire, terminal in the cabinet, name of the cable; "" if not known.
        span: of a number, range of the signal and scale; None for a BOOL.
    """

    tag: Tag
    part: str
    terminal: str
    contact: ContactForm = ContactForm.NO
    signal: SignalKind = SignalKind.DRY
    supply: str = ""
    input_type: InputType = INPUT_TYPES["type_1"]
    filter: Ns = Ns(0)  # noqa: RUF009 - an int
    safe: Value = False
    wire: str = ""
    strip: str = ""
    cable: str = ""
    span: AnalogSpan | None = None

    @property
    def name(self) -> str:
        """The tag's name."""
        return self.tag.name

    @property
    def device(self) -> str:
        """The part's terminal as the file writes it: `part.terminal`."""
        return f"{self.part}.{self.terminal}"

    @property
    def place(self) -> Place | None:
        """Where it is declared."""
        return self.tag.place

    @property
    def is_input(self) -> bool:
        """Whether the controller reads it."""
        return self.tag.direction is Direction.INPUT


@dataclass(frozen=True, slots=True)
class IoList:
    """All points of a machine, in the order of the file; names are unique, letter case does not count."""

    points: tuple[Point, ...]
    _by_name: dict[str, Point] = field(init=False, repr=False, compare=False)
    _swappable: tuple[tuple[Point, Point], ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the names, and the pairs that every run asks for."""
        object.__setattr__(self, "_by_name", {point.name.upper(): point for point in self.points})
        bundles = [_bundle(point) for point in self.points]
        pairs = (
            (first, second)
            for index, first in enumerate(self.points)
            for second, bundle in zip(self.points[index + 1 :], bundles[index + 1 :], strict=True)
            if first.cable and bundles[index] == bundle
        )
        object.__setattr__(self, "_swappable", tuple(pairs))

    def __getitem__(self, name: str) -> Point:
        """Give the point of this name; raises `WiringError` with the nearest names if there is none."""
        point = self._by_name.get(name.upper())
        if point is None:
            raise WiringError(
                f"{name!r} is not in the I/O list", mend=nearest(name, (point.name for point in self.points))
            )
        return point

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and name.upper() in self._by_name

    def __iter__(self) -> Iterator[Point]:
        return iter(self.points)

    def __len__(self) -> int:
        return len(self.points)

    @property
    def inputs(self) -> tuple[Point, ...]:
        """The points that the controller reads, in order."""
        return tuple(point for point in self.points if point.is_input)

    @property
    def outputs(self) -> tuple[Point, ...]:
        """The points that the controller drives, in order."""
        return tuple(point for point in self.points if not point.is_input)

    @property
    def tags(self) -> tuple[Tag, ...]:
        """The tags, in order."""
        return tuple(point.tag for point in self.points)

    def swappable(self) -> tuple[tuple[Point, Point], ...]:
        """Give the pairs whose wires can be mixed up unnoticed: one cable, one direction, one kind of signal."""
        return self._swappable


def _bundle(point: Point) -> tuple[str, Direction, SignalKind, str, str]:
    return point.cable, point.tag.direction, point.signal, point.supply, point.span.unit if point.span else ""
