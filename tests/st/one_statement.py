"""Programs of one statement: a standard function, or an operator, with arguments of every kind.

Rule: what is made depends on the seed alone.
"""

import re
import sys
from random import Random

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.st.bases import BASES
from simplant.logic.st.prepared import prepared
from simplant.logic.st.report import SourceErrors
from simplant.logic.st.standard import known_functions, signature
from simplant.logic.walk import walk_task

TYPES = sorted(BASES)
VALUES = {
    "BOOL": ("TRUE", "FALSE"), "TIME": ("T#5s", "T#0s", "T#-3ms"), "LTIME": ("LTIME#2us",), "DATE": ("D#2026-01-31",),
    "TOD": ("TOD#08:30:00",), "DT": ("DT#2026-01-31-08:30:00",), "STRING": ("'abc'", "''", "'12'", "'16#FF'"),
    "WSTRING": ('"abc"',), "CHAR": ("'a'",), "WCHAR": ('"a"',), "REAL": ("2.5", "-1.0E10"), "LREAL": ("0.5", "1.0E300"),
}  # fmt: skip
SAME = {"LDATE": "DATE", "LTOD": "TOD", "LDT": "DT", "TIME_OF_DAY": "TOD", "DATE_AND_TIME": "DT",
        "LTIME_OF_DAY": "TOD", "LDATE_AND_TIME": "DT"}  # fmt: skip
LITERALS = ("0", "1", "-3", "70000", "16#F0", "2.5", "-1.0", "TRUE", "'x'", '"y"', "T#2s", "D#2026-02-01", "NULL",
            "REF(v_INT)", "m#busy", "NOT 16#0F", "SHL(1, v_INT)", "SEL(v_BOOL, 1, 2)", "MIN(2, 3)", "-MIN(2, 3)",
            "v_STRING[1]", "2 ** -1", "v_INT ** 2", "ABS(-2.5)")  # fmt: skip
SIGNS = ("+", "-", "*", "/", "MOD", "**", "AND", "OR", "XOR", "=", "<>", "<", ">", "<=", ">=")
OTHERS = ("v_m", "v_ref", "v_row[v_INT]", "v_ref^", "v_bits.3", "v_bits.%B0")
FAMILIES = ("TRUNC_INT", "TRUNC_DINT", "REAL_TRUNC_INT", "BCD_TO_UINT", "WORD_BCD_TO_UINT", "TO_BCD_WORD",
            "UINT_TO_BCD_BYTE", "BCD_TO_INT", "CHAR_TO_BYTE", "USINT_TO_CHAR", "SHL_WORD", "LIMIT_INT",
            "MAX_REAL", "SEL_INT", "MUX_DINT", "ADD_INT", "EXPT_REAL", "NOT_WORD", "EQ_INT")  # fmt: skip


def _names():
    found = [*known_functions(), *FAMILIES, *(f"TO_{t}" for t in TYPES)]
    return [*found, *(f"{a}_TO_{b}" for a in TYPES for b in TYPES if a != b)]


NAMES = sorted({name for name in _names() if signature(name) is not None})


def whole(random, statement):
    """Give a statement with the variables that it names, and their first values."""
    rows = []
    for name in sorted(set(re.findall(r"\b[vw]_[A-Z_]+\b", statement))):
        values = VALUES.get(SAME.get(name[2:], name[2:]), ("0", "1", "100", "7"))
        rows.append(f"{name} : {name[2:]} := {random.choice(values)};")
    more = "v_m : m := busy; v_row : ARRAY[0..9] OF INT; v_ref : REF_TO INT := NULL; v_bits : WORD := 16#1234;"
    return (
        f"TYPE m : (idle, busy); END_TYPE\nPROGRAM p\nVAR {' '.join(rows)} {more} END_VAR\n{statement}\nEND_PROGRAM\n"
    )


def value(random):
    """Give an argument."""
    kind = random.randint(0, 9)
    if kind < 6:
        return f"v_{random.choice(TYPES)}"
    return random.choice(LITERALS) if kind < 9 else random.choice(OTHERS)


def likely(random, name):
    """Give an argument, mostly of the type that the name of a function begins with."""
    source = name.partition("_TO_")[0]
    return f"v_{source}" if source in TYPES and random.random() < 0.7 else value(random)


def program(seed, name=""):
    """Give a program: of a function of this name, or of an operator."""
    random = Random(f"{seed} {name}")
    if name:
        known = signature(name)
        count = len(known.parameters) + (random.randint(-1, 2) if known.more else 0)
        alike = value(random)
        given = [alike if random.random() < 0.5 else likely(random, name) for _ in range(max(count, known.least))]
        said = f"{name}({', '.join(given)})"
    else:
        said = f"{value(random)} {random.choice(SIGNS)} {value(random)}"
        if random.random() < 0.3:
            said = f"{random.choice(('NOT', '-'))} ({said})"
    if random.random() < 0.4:  # no target says what type is wanted
        return whole(random, f"w_BOOL := ({said}) = ({said});")
    target = name.rpartition("_TO_")[2] if random.random() < 0.5 else random.choice(TYPES)
    target = target if target in TYPES else random.choice(TYPES)
    return whole(random, f"w_{target} := {said};")


def outcome(text):
    """Give what becomes of a program: that it is refused, or what a scan of it gives, compiled and walked."""
    try:
        (layout,) = prepared(text, "one.st", ()).laid
    except SourceErrors:
        return ["refused"]
    return [_scanned(make, layout) for make in (compile_task, walk_task)]


def _scanned(make, layout):
    try:
        task = make(layout)
        return repr(task.run((), task.initial, 0)[0])
    except SimplantError as error:
        return error.what


def wrong(text):
    """Say whether an accepted program ends in an error of Python, or walks otherwise than it runs."""
    told = outcome(text)
    return len(set(told)) > 1 or told[0].startswith(("the program raised", "no function"))


def main(first, behind):
    """Run a campaign; tell every program that is wrong."""
    for seed in range(first, behind):
        for name in ("", *NAMES):
            if wrong(program(seed, name)):
                print(program(seed, name).splitlines()[-2], outcome(program(seed, name)))
        print(f"{seed + 1 - first} of {behind - first}", flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
