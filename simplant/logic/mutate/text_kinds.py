"""What the variables of a text are: their types by name, as far as a mistake needs to know them.

Rule: what is not known here is left as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from simplant.blocks import BLOCKS
from simplant.errors import nearest
from simplant.logic.st.declared import File, Named, Structure, Unit, Variable
from simplant.logic.st.parts import in_a_row
from simplant.logic.st.tree import Access, Call, Expression, Field, Infix, Literal, Prefix
from simplant.tags import Direction, Tag
from simplant.timebase import Ns
from simplant.values import BOOL, TYPES, ElementaryType

LOGIC = ("AND", "OR", "XOR")
COMPARED = ("=", "<>", "<", ">", "<=", ">=")


@dataclass(frozen=True, slots=True)
class Known:
    """What is known where a mistake is made.

    Args:
        types: elementary types, by name in capitals (`START`, `WARN.Q`).
        inputs: the inputs of the I/O list.
        steps: the steps of each sequence, by its name in capitals.
        blocks: the standard block of each instance, by its name in capitals.
        scan: how long a scan is.
    """

    types: Mapping[str, ElementaryType]
    inputs: Sequence[Tag]
    steps: Mapping[str, tuple[str, ...]]
    blocks: Mapping[str, str]
    scan: Ns

    def type_of(self, node: Access) -> ElementaryType | None:
        """Give the type of a variable or a field of one, if it is known."""
        if not all(isinstance(s, Field) for s in node.selectors):
            return None
        return self.types.get(str(node).upper())

    def is_bool(self, node: Expression) -> bool:
        """Say whether an expression is surely Boolean."""
        match node:
            case Access():
                return self.type_of(node) is BOOL
            case Literal():
                return node.type is BOOL
            case Prefix():
                return node.operator == "NOT" and self.is_bool(node.operand)
            case Infix():
                return node.operator in COMPARED or (node.operator in LOGIC and self.is_bool(in_a_row(node)[0]))
            case Call():
                return False

    def like(self, node: Access) -> str:
        """Give the input of the same type whose name is nearest; empty if it is no input, or the only one."""
        mine = next((t for t in self.inputs if t.name.upper() == str(node).upper()), None)
        if mine is None:
            return ""
        alike = [t.name for t in self.inputs if t.type is mine.type]
        others = [name for name in alike if name != mine.name]
        close = [name for name in others if name in nearest(mine.name, others)]
        following = alike[(alike.index(mine.name) + 1) % len(alike)]
        return close[0] if close else following if others else ""


def known(file: File, unit: Unit, tags: Sequence[Tag], steps: Mapping[str, tuple[str, ...]], scan: Ns) -> Known:
    """Gather what is known inside a unit of a file."""
    records = {row.name.upper(): row.type for row in file.types if isinstance(row.type, Structure)}
    variables = [*file.variables, *(v for c in file.configurations for v in c.variables), *unit.variables]
    types = {tag.name.upper(): tag.type for tag in tags} | dict(_leaves(variables, records))
    blocks = {v.name.upper(): v.type.name.upper() for v in variables
              if isinstance(v.type, Named) and v.type.name.upper() in BLOCKS}  # fmt: skip
    upper = {name.upper(): names for name, names in steps.items()}
    return Known(types, [t for t in tags if t.direction is Direction.INPUT], upper, blocks, scan)


def _leaves(variables: Iterable[Variable], records: Mapping[str, Structure]) -> Iterator[tuple[str, ElementaryType]]:
    for variable in variables:
        if not isinstance(variable.type, Named):
            continue
        name, kind = variable.name.upper(), variable.type.name.upper()
        if kind in TYPES:
            yield name, TYPES[kind]
        elif kind in BLOCKS:
            yield from ((f"{name}.{f.name}", f.type) for f in (*BLOCKS[kind].inputs, *BLOCKS[kind].outputs))
        elif kind in records:
            yield from ((f"{name}.{field}", type_) for field, type_ in _leaves(records[kind].fields, records))
