"""What a configuration joins to a program instance: its parameters, and addresses and first values by VAR_CONFIG.

Rule: what goes in is moved before the program runs, what comes out after.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import replace

from simplant.errors import nearest
from simplant.logic.core import Core
from simplant.logic.st.adapt import Val, adapt
from simplant.logic.st.declared import Configuration, ProgramInstance, Setting
from simplant.logic.st.project import Project
from simplant.logic.st.report import fail
from simplant.logic.st.scope import Frame, UnitInfo
from simplant.logic.st.spot import Spot
from simplant.logic.st.statements import Statements
from simplant.logic.st.tree import Access, Argument, Field
from simplant.logic.st.types import Scalar


class Connections:
    """What one program instance is joined to.

    Args:
        project: read and checked.
        own: the instance's variables.

    Attributes:
        before, after: what must run around the program.
        frame: what they use.
    """

    def __init__(self, project: Project, own: UnitInfo) -> None:
        self.project, self.own = project, own
        self.frame, self._inside = Frame(project.names), Frame(project.names, own)
        self.lowering = Statements(self.frame, project)
        self.before: list[Core] = self.lowering.before
        self.after: list[Core] = []

    def parameters(self, tree: ProgramInstance, around: Container[str]) -> None:
        """Join `PROGRAM p WITH t : type (x := a, y => b)`; `around`: names of resources, which may stand before a."""
        for given in tree.arguments:
            argument = self._global(given, around)
            symbol = self.own.symbols.get(argument.name.upper())
            spot = Spot(symbol, symbol.path, symbol.type).entered() if symbol is not None else None
            if spot is None or not isinstance(spot.type, Scalar):
                what = f"{tree.type} has no parameter {argument.name!r}" if argument.name else "a value without a name"
                mend = nearest(argument.name.upper(), self.own.symbols) if argument.name else "write input := value"
                fail(argument.place, what, mend=mend, length=len(argument.name))
            if argument.value is not None:
                expr = self.lowering.as_type(argument.value, spot.type, spot.symbol.name)
                self.before += self.lowering.put(spot, expr, argument.place)
            elif argument.target is not None:
                value = Val(self.lowering.read(spot), spot.type)
                self.after += self.lowering.store(argument.target, value, argument.place)

    def _global(self, given: Argument, around: Container[str]) -> Argument:
        """Give an argument without the name of a resource before a global."""
        access = given.target or given.value
        match access:
            case Access(name=name, selectors=(Field() as inner, *rest)) if name.upper() in around:
                plain = Access(inner.place, inner.name, tuple(rest))
                return replace(given, target=plain) if given.target is not None else replace(given, value=plain)
            case _:
                return given

    def setting(self, tree: Setting, inner: Sequence[str]) -> None:
        """Join one row of a VAR_CONFIG; `inner`: its path from the program on."""
        place, (first, *rest) = tree.place, inner
        access = Access(place, first, tuple(Field(place, name) for name in rest))
        inside = Statements(self._inside, self.project)
        spot = inside.spot(access)
        if not isinstance(spot.type, Scalar):
            fail(place, f"{access} is {spot.type.name}", "only single values have addresses")
        if tree.address:
            outside = Access(place, tree.address)
            if tree.address[1] == "Q":
                self.after += self.lowering.store(outside, Val(inside.read(spot), spot.type), place)
            else:
                given = adapt(self.lowering.value(outside), spot.type, place, self.project.report, str(access))
                self.before += inside.put(spot, given, place)
        if tree.initial is not None:
            value = self.project.declaring.initial(tree.initial, spot.type, self.frame, str(access))
            for name in reversed(rest):
                value = {name.upper(): value}
            known = spot.symbol.initial
            spot.symbol.initial = {**known, **value} if isinstance(known, dict) and isinstance(value, dict) else value


def settings_of(tree: ProgramInstance, configuration: Configuration) -> list[tuple[Setting, tuple[str, ...]]]:
    """Give the rows of VAR_CONFIG that are for a program instance, each with its path inside."""
    name, found = tree.name.upper(), []
    for setting in configuration.settings:
        words = [word.upper() for word in setting.path[:-1]]
        if name in words:
            found.append((setting, setting.path[words.index(name) + 1 :]))
    return found


def lost_settings(configuration: Configuration) -> list[tuple[Setting, str]]:
    """Give the rows of VAR_CONFIG that are for no program instance, each with how to mend it."""
    taken = [setting for tree in configuration.programs for setting, _ in settings_of(tree, configuration)]
    names = [tree.name for tree in configuration.programs]
    return [(s, nearest(s.path[0], names)) for s in configuration.settings if s not in taken]
