"""Random statements of Structured Text, on the variables of one unit.

Expressions are st_expressions.py. Rule: a counter belongs to its depth, so loops in loops do not disturb one another.
"""

from tests.agree.st_expressions import BITS, KINDS, Expressions


class Statements(Expressions):
    """Writes statements.

    Attributes:
        instances: names of block instances that may be called; of a user's block with the type of its amount.
    """

    def __init__(self, rnd):
        super().__init__(rnd)
        self.depth = self.loops = 0
        self.instances = []

    def statements(self, most):
        """Write some statements."""
        return "\n".join(self.statement() for _ in range(self.rnd.randint(1, most)))

    def statement(self):
        """Write one statement."""
        kinds = [self.assign, self.assign, self.assign, self.call, self.bit, self.point]
        if self.depth < 3:
            kinds += [self.branch, self.case, self.count_loop, self.while_loop, self.repeat_loop]
        if self.loops:
            kinds.append(self.leave)
        return self.rnd.choice(kinds)()

    def inside(self, most=2):
        """Write statements one level deeper."""
        self.depth += 1
        made = self.statements(most)
        self.depth -= 1
        return made

    def assign(self):
        """Assign to a variable or to a part of one."""
        kinds = [kind for kind in KINDS if self.writes[kind]]
        if not kinds:
            return ";"
        kind = self.rnd.choice(kinds)
        return f"{self.filled(self.rnd.choice(self.writes[kind]))} := {self.value(kind, 2)};"

    def bit(self):
        """Write one bit of a bit string."""
        kinds = [kind for kind in BITS if self.writes[kind]]
        if not kinds:
            return f"i := {self.rnd.randint(-1, 3)};"
        name = self.filled(self.rnd.choice(self.writes[self.rnd.choice(kinds)]))
        return f"{name}.{self.rnd.randint(0, 7)} := {self.value('BOOL', 1)};"

    def point(self):
        """Let a reference lead elsewhere, or copy what it leads to."""
        kinds = [kind for kind in sorted(self.references) if self.references[kind]]
        if not kinds:
            return ";"
        kind = self.rnd.choice(kinds)
        name = self.rnd.choice(self.references[kind])
        if kind == "Point" and self.rnd.random() < 0.4:
            return f"{name}^ := {self.filled(self.rnd.choice(self.points))};"
        return f"{name} := {self.reference(kind)};" if self.lasting else f"{name}^ := {name}^;"

    def call(self):
        """Call an instance."""
        if not self.instances:
            return f"i := {self.rnd.randint(0, 2)};"
        name = self.rnd.choice(self.instances)
        go = self.value("BOOL", 1)
        match name:
            case "late" | "pulse":
                return f"{name}(IN := {go}, PT := {self.rnd.choice(('T#10ms', 'T#25ms', 'T#0s'))});"
            case "count":
                return f"count(CU := {go}, R := {self.value('BOOL', 0)}, PV := 3);"
            case "edge":
                return f"edge({go});"
            case "edges":
                return f"edges[{self.rnd.choice(('1', '2', 'LIMIT(1, i, 2)'))}](CLK := {go});"
            case _:
                block, _, kind = name.partition(":")
                target = self.writes["INT"]
                out = f", out => {self.filled(self.rnd.choice(target))}" if target and self.rnd.random() < 0.5 else ""
                return f"{block}(go := {go}, amount := {self.value(kind, 1)}{out});"

    def branch(self):
        """Write an IF."""
        text = f"IF {self.value('BOOL', 2)} THEN\n{self.inside()}\n"
        for _ in range(self.rnd.choice((0, 0, 1, 2))):
            text += f"ELSIF {self.value('BOOL', 1)} THEN\n{self.inside()}\n"
        return text + (f"ELSE\n{self.inside()}\n" if self.rnd.random() < 0.5 else "") + "END_IF;"

    def case(self):
        """Write a CASE."""
        kind = self.rnd.choice(("INT", "DINT", "USINT"))
        groups = "".join(
            f"{label}:\n{self.inside()}\n" for label in self.rnd.sample(("0", "1, 2", "3..9", "50, 60..70"), 2)
        )
        other = f"ELSE\n{self.inside()}\n" if self.rnd.random() < 0.5 else ""
        return f"CASE {self.value(kind, 1)} OF\n{groups}{other}END_CASE;"

    def looped(self):
        self.loops += 1
        made = self.inside()
        self.loops -= 1
        return made

    def count_loop(self):
        """Write a FOR."""
        counter = f"n{self.depth + 1}"
        span = self.rnd.choice(("0 TO 3", "3 TO 0 BY -1", "0 TO 6 BY 2", "5 TO 1", "0 TO i"))
        return f"FOR {counter} := {span} DO\n{self.looped()}\nEND_FOR;"

    def while_loop(self):
        """Write a WHILE that ends, most of the time."""
        counter = f"n{self.depth + 1}"
        return (
            f"{counter} := 0;\nWHILE {counter} < {self.rnd.randint(1, 4)} AND ({self.value('BOOL', 1)}) DO\n"
            f"{counter} := {counter} + 1;\n{self.looped()}\nEND_WHILE;"
        )

    def repeat_loop(self):
        """Write a REPEAT."""
        counter = f"n{self.depth + 1}"
        return (
            f"{counter} := 0;\nREPEAT\n{counter} := {counter} + 1;\n{self.looped()}\n"
            f"UNTIL {counter} >= {self.rnd.randint(1, 3)} OR ({self.value('BOOL', 1)}) END_REPEAT;"
        )

    def leave(self):
        """Leave a loop, or this pass of it."""
        return f"IF {self.value('BOOL', 1)} THEN {self.rnd.choice(('EXIT', 'CONTINUE', 'EXIT'))}; END_IF;"
