"""Random valid Structured Text: whole files with types, functions, function blocks and a program.

Everything is drawn from the `Random` given, so hypothesis (which shrinks) and plain seeds share one author. What is
made is always accepted; it may fail when it runs (a division by 0, an index out of bounds, a loop without end). Rule:
every kind of statement and every kind of variable that the language has comes up.
"""

from tests.agree.st_expressions import KINDS, WHOLE
from tests.agree.st_statements import Statements

TYPES = """TYPE
  Mode : (off, slow, fast := 5);
  Small : INT (-10..10);
  Point : STRUCT x : INT := 1; y : REAL; on : BOOL; row : ARRAY[0..2] OF INT; END_STRUCT;
  Pair : STRUCT left, right : Point; END_STRUCT;
  Shared : STRUCT OVERLAP w : WORD; i : INT; y AT %B2 : REAL; b : ARRAY[0..2] OF BYTE; on AT %X1.2 : BOOL;
  END_STRUCT;
END_TYPE
"""
FIELDS = {
    "Point": {"x": "INT", "y": "REAL", "on": "BOOL", "row": "ARRAY[0..2] OF INT"},
    "Pair": {"left": "Point", "right": "Point"},
    "Shared": {"w": "WORD", "i": "INT", "y": "REAL", "b": "ARRAY[0..2] OF BYTE", "on": "BOOL"},
}
PLACES = {
    "ARRAY[0..2": ("0", "2", "LIMIT(0, {i}, 2)", "{i}"),
    "ARRAY[1..2, 0..1": ("1, 0", "2, 1", "LIMIT(1, {i}, 2), 1"),
}


class StAuthor(Statements):
    """Writes one file."""

    def __init__(self, rnd):
        super().__init__(rnd)
        self.blocks = []

    def file(self):
        """Write it."""
        functions = [self.function(number) for number in range(self.rnd.randint(0, 2))]
        blocks = [self.block(number) for number in range(self.rnd.randint(0, 2))]
        return "\n".join([TYPES, *functions, *blocks, self.program()])

    # units

    def fresh(self, variables):
        """Begin a unit whose variables are given as (name, type, may be written)."""
        self.reads, self.writes = {kind: [] for kind in KINDS}, {kind: [] for kind in KINDS}
        self.loops = self.depth = 0
        self.instances, self.points, self.shared, self.references = [], [], [], {}
        for name, kind, written in variables:
            self.known(name, kind, written=written)

    def known(self, name, kind, *, written):
        """Let a variable, or the parts of one, be read and written."""
        if kind.startswith("ARRAY"):
            places = PLACES[kind.partition("]")[0]]
            for place in places:
                self.known(f"{name}[{place}]", kind.rpartition(" ")[2], written=written)
        elif kind.startswith("REF_TO"):
            self.references.setdefault(kind[7:], []).append(name)
            self.known(f"{name}^", kind[7:], written=True)
        elif kind in FIELDS:
            self.points += [name] if kind == "Point" and written else []
            self.shared += [name] if kind == "Shared" else []
            for field, inner in FIELDS[kind].items():
                self.known(f"{name}.{field}", inner, written=written)
        elif kind == "Small":
            self.reads["INT"].append(name)
        else:
            self.reads[kind].append(name)
            if written:
                self.writes[kind].append(name)

    def variables(self, prefix, count):
        """Give so many variables of any type: (name, type, initial)."""
        made = []
        for number in range(count):
            kind = self.rnd.choice(KINDS)
            shape = self.rnd.random()
            initial = f" := {self.literal(kind)}" if self.rnd.random() < 0.4 else ""
            if shape < 0.12:
                kind, initial = f"ARRAY[0..2] OF {kind}", ""
            elif shape < 0.18:
                kind, initial = f"ARRAY[1..2, 0..1] OF {kind}", ""
            elif shape < 0.3:
                kind, initial = self.rnd.choice(("Point", "Pair", "Shared", "ARRAY[0..2] OF Point", "Small")), ""
            made.append((f"{prefix}{number}", kind, initial))
        return made

    @staticmethod
    def declared(word, variables):
        """Write a VAR section."""
        return f"{word}\n" + "".join(f"  {n} : {k}{i};\n" for n, k, i in variables) + "END_VAR\n"

    def function(self, number):
        """Write a function with inputs, an output and a VAR_IN_OUT."""
        name, kind = f"f{number}", self.rnd.choice(KINDS)
        inputs = [(f"in{n}", self.rnd.choice(KINDS), "") for n in range(self.rnd.randint(1, 3))]
        where = [("where", "REF_TO INT", "")]
        own = self.variables("v", 3)
        given = [(n, k, False) for n, k, _ in (*inputs, *where)]
        self.fresh(given + [(n, k, True) for n, k, _ in own] + [("also", "INT", True)])
        self.lasting = False
        self.known("shared", "DINT", written=True)
        self.known(name, kind, written=True)
        self.reads["INT"].append("i")
        body = self.statements(3)
        self.lasting = True
        text = (
            f"FUNCTION {name} : {kind}\n{self.declared('VAR_INPUT', inputs + where)}{self.declared('VAR', own)}"
            f"VAR i, n1, n2, n3 : INT; END_VAR\nVAR_OUTPUT also : INT; END_VAR\nVAR_IN_OUT shared : DINT; END_VAR\n"
            f"{body}\nEND_FUNCTION\n"
        )
        self.functions.append((name, kind, [k for _, k, _ in inputs]))
        return text

    def block(self, number):
        """Write a function block with a timer, a counter and an edge."""
        name = f"Block{number}"
        inputs = [("go", "BOOL", ""), ("amount", self.rnd.choice(WHOLE), "")]
        own = [*self.variables("v", 4), ("r", "REF_TO INT", " := REF(out)")]
        self.fresh([(n, k, False) for n, k, _ in inputs] + [(n, k, True) for n, k, _ in own] + [("out", "INT", True)])
        self.reads["INT"].append("i")
        self.reads["BOOL"] += ["late.Q", "edge.Q"]
        self.reads["INT"].append("count.CV")
        self.instances = ["late", "count", "edge"]
        body = self.statements(4)
        self.blocks.append((name, inputs[1][1]))
        return (
            f"FUNCTION_BLOCK {name}\n{self.declared('VAR_INPUT', inputs)}VAR_OUTPUT out : INT; END_VAR\n"
            f"{self.declared('VAR', own)}VAR late : TON; count : CTU; edge : R_TRIG; i, n1, n2, n3 : INT; END_VAR\n"
            f"{body}\nEND_FUNCTION_BLOCK\n"
        )

    def program(self):
        """Write the program."""
        own = [*self.variables("v", 10), ("p0", "Point", ""), ("k0", "INT", ""), ("k1", "DINT", ""),
               ("r0", "REF_TO INT", " := REF(k0)"), ("r1", "REF_TO DINT", " := REF(k1)"),
               ("r2", "REF_TO Point", " := REF(p0)")]  # fmt: skip
        self.fresh([(n, k, True) for n, k, _ in own] + [("total", "DINT", True)])
        self.reads["INT"].append("i")
        self.reads["BOOL"] += ["late.Q", "pulse.Q", "(mode = fast)", "edges[1].Q"]
        self.reads["TIME"] += ["late.ET"]
        self.instances = ["late", "pulse", "count", "edge", "edges"]
        used = [(f"b{n}", name, kind) for n, (name, kind) in enumerate(self.blocks)]
        self.instances += [f"{b}:{kind}" for b, _, kind in used]
        self.reads["INT"] += [f"{b}.out" for b, _, _ in used]
        extra = "".join(f"  {b} : {name};\n" for b, name, _ in used)
        body = self.statements(6)
        return (
            f"PROGRAM main\n{self.declared('VAR', own)}VAR\n{extra}  late : TON; pulse : TP; count : CTU; "
            "edge : R_TRIG; edges : ARRAY[1..2] OF F_TRIG; mode : Mode; i, n1, n2, n3 : INT; total : DINT;\nEND_VAR\n"
            f"{body}\nEND_PROGRAM\n"
        )
