"""Random expressions of Structured Text, of a type that is wanted.

Statements are st_statements.py, whole files st_programs.py. Rule: what is made fits its type without any help.
"""

WHOLE = ("SINT", "INT", "DINT", "LINT", "USINT", "UINT", "UDINT", "ULINT")
BITS = ("BYTE", "WORD", "DWORD", "LWORD")
REALS = ("REAL", "LREAL")
KINDS = ("BOOL", *WHOLE, *BITS, *REALS, "TIME", "STRING")
FEW = {
    **dict.fromkeys(WHOLE, ("0", "1", "2", "7", "100", "16#0F")),
    **dict.fromkeys(BITS, ("16#00", "16#01", "16#80", "2#1010", "255")),
    **dict.fromkeys(REALS, ("0.0", "1.0", "-2.5", "0.1", "1.0E6")),
    "BOOL": ("TRUE", "FALSE"),
    "TIME": ("T#0s", "T#10ms", "T#25ms", "T#1s", "T#-5ms"),
    "STRING": ("''", "'a'", "'Hello'", "'a$Nb'", "'12'"),
}


class Expressions:
    """Writes expressions.

    Attributes:
        reads: what may be read, by type.
        writes: what may be written, by type.
        functions: name, result and inputs of the functions that there are.
        points: structures that a reference may lead to.
        shared: structures whose fields share their bytes, so that no reference may lead there.
        references: the references that there are, by what they lead to.
    """

    def __init__(self, rnd):
        self.rnd = rnd
        self.reads = {}
        self.writes = {}
        self.functions = []
        self.points = []
        self.shared = []
        self.references = {}

    def filled(self, name):
        """Put an index where one is wanted."""
        return name.replace("{i}", self.rnd.choice(("i", "1", "i", "0")))

    def literal(self, kind):
        """Write a literal."""
        return self.rnd.choice(FEW[kind])

    def typed(self, kind):
        """Write a literal that says its type."""
        text = self.literal(kind)
        return text if kind in ("BOOL", "TIME", "STRING") else f"{kind}#{text}"

    def value(self, kind, depth):
        """Write an expression of a type."""
        if depth == 0 or self.rnd.random() < 0.2:
            if self.reads[kind] and self.rnd.random() < 0.75:
                return self.filled(self.rnd.choice(self.reads[kind]))
            return self.typed(kind)
        if self.rnd.random() < 0.12:
            return self.chosen(kind, depth - 1)
        if self.rnd.random() < 0.1 and (found := [f for f in self.functions if f[1] == kind]) and self.writes["DINT"]:
            return self.called(self.rnd.choice(found), depth - 1)
        return self.reckoned(kind, depth - 1)

    def reckoned(self, kind, depth):
        """Write an operator or a function of a type."""
        own = {"BOOL": self.truth, "TIME": self.span, "STRING": self.text}
        if kind in own:
            return own[kind](depth)
        return self.bits(kind, depth) if kind in BITS else self.number(kind, depth)

    def chosen(self, kind, depth):
        """Choose among values."""
        one, other = self.value(kind, depth), self.value(kind, depth)
        forms = [f"SEL({self.value('BOOL', depth)}, {one}, {other})", f"MOVE({one})"]
        if kind not in ("BOOL", *BITS):
            forms += [f"MAX({one}, {other})", f"LIMIT({one}, {self.value(kind, depth)}, {other})"]
        return self.rnd.choice([*forms, f"MUX({self.rnd.choice(('0', '1', 'i'))}, {one}, {other})"])

    def called(self, function, depth):
        """Call one of the functions above."""
        name, _, kinds = function
        given = ", ".join(f"in{n} := {self.value(k, depth)}" for n, k in enumerate(kinds))
        shared = self.filled(self.rnd.choice(self.writes["DINT"]))
        target = self.writes["INT"]
        given += f", where := {self.reference('INT')}"
        also = f", also => {self.filled(self.rnd.choice(target))}" if target and self.rnd.random() < 0.3 else ""
        return f"{name}({given}, shared := {shared}{also})"

    def reference(self, kind):
        """Write a reference that leads to a type; in a function, where nothing lasts, one that it was given."""
        known, chance = self.references.get(kind, []), self.rnd.random()
        targets = (self.points if kind == "Point" else self.writes[kind]) if self.lasting else []
        targets = [each for each in targets if each.partition(".")[0] not in self.shared]
        if targets and chance < 0.8:
            return f"REF({self.filled(self.rnd.choice(targets))})"
        return self.rnd.choice(known) if known and chance < 0.95 else "NULL"

    lasting = True

    def truth(self, depth):
        """Write a condition."""
        if self.references and self.rnd.random() < 0.1:
            kind = self.rnd.choice(sorted(self.references))
            return f"({self.rnd.choice(self.references[kind])} {self.rnd.choice(('=', '<>'))} {self.reference(kind)})"
        if self.rnd.random() < 0.5:
            kind = self.rnd.choice(KINDS)
            sign = self.rnd.choice(("=", "<>") if kind in ("BOOL", *BITS) else ("=", "<>", "<", ">", "<=", ">="))
            return f"({self.value(kind, depth)} {sign} {self.value(kind, depth)})"
        one, other = self.value("BOOL", depth), self.value("BOOL", depth)
        sign = self.rnd.choice(("AND", "OR", "XOR", "&"))
        return self.rnd.choice((f"({one} {sign} {other})", f"NOT {one}", f"AND({one}, {other})"))

    def number(self, kind, depth):
        """Write a number."""
        one, other = self.value(kind, depth), self.value(kind, depth)
        signs = ("+", "-", "*", "/") if kind in REALS else ("+", "-", "*", "/", "MOD")
        divisor = self.divisor(kind, other)
        forms = [f"({one} {self.rnd.choice(signs)} {divisor})", f"({one} {self.rnd.choice(signs[:3])} {other})"]
        forms.append(f"ABS({one})")
        if kind in REALS:
            forms += [f"SQRT(ABS({one}))", f"{self.rnd.choice(WHOLE)}_TO_{kind}({{}})"]
        else:
            forms.append(f"{self.rnd.choice((*WHOLE, *BITS, 'BOOL', 'REAL'))}_TO_{kind}({{}})")
        return self.converting(self.rnd.choice(forms), depth)

    def divisor(self, kind, other):
        """Give what may be 0 when it runs, but is not known to be: that would be refused when it is read."""
        if self.reads[kind]:
            return f"({self.filled(self.rnd.choice(self.reads[kind]))} + {other})"
        return f"{kind}#7.0" if kind in REALS else f"{kind}#7"

    def converting(self, form, depth):
        """Fill in what a conversion takes."""
        return form.replace("{}", self.value(form.partition("_TO_")[0], depth)) if "({})" in form else form

    def bits(self, kind, depth):
        """Write a bit string."""
        one, other = self.value(kind, depth), self.value(kind, depth)
        sign, turn = self.rnd.choice(("AND", "OR", "XOR")), self.rnd.choice(("SHL", "SHR", "ROL", "ROR"))
        source = self.rnd.choice((*WHOLE, *BITS))
        forms = (f"({one} {sign} {other})", f"NOT {one}", f"{turn}({one}, {self.rnd.randint(0, 9)})",
                 f"{source}_TO_{kind}({{}})" if source != kind else one)  # fmt: skip
        return self.converting(self.rnd.choice(forms), depth)

    def span(self, depth):
        """Write a duration."""
        one, other = self.value("TIME", depth), self.value("TIME", depth)
        return self.rnd.choice((f"({one} + {other})", f"({one} - {other})", f"MUL_TIME({one}, 2)", f"({one} / 3)"))

    def text(self, depth):
        """Write a text."""
        one, other = self.value("STRING", depth), self.value("STRING", depth)
        number = self.rnd.choice(("0", "1", "2", "i"))
        forms = (f"CONCAT({one}, {other})", f"LEFT({one}, {number})", f"MID({one}, 2, {number})", "INT_TO_STRING({})",
                 f"INSERT({one}, {other}, {number})", f"DELETE({one}, 1, {number})", f"RIGHT({one}, 1)")  # fmt: skip
        return self.converting(self.rnd.choice(forms), depth)
