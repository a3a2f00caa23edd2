"""Random sources as trees, as the reader would give them, and trees without their places.

Rule: only what can stand in a text; what it means is not looked at.
"""

from dataclasses import fields, is_dataclass, replace

from hypothesis import strategies as st

from simplant.errors import Place
from simplant.logic.st.declared import (
    AccessPath,
    ArrayOf,
    Configuration,
    Enumeration,
    FieldInit,
    File,
    ListInit,
    Named,
    ProgramInstance,
    RefTo,
    Section,
    Setting,
    Structure,
    Subrange,
    Task,
    TypeName,
    Unit,
    Variable,
)
from simplant.logic.st.literals import read_literal
from simplant.logic.st.tree import (
    Access,
    Argument,
    Call,
    Case,
    Deref,
    Do,
    Field,
    For,
    If,
    Index,
    Infix,
    Leave,
    Let,
    Literal,
    Part,
    Prefix,
    Repeat,
    While,
)
from simplant.values import BOOL

HERE = Place("")
NAMES = st.sampled_from(["a", "b2", "pump_run_cmd", "Speed", "a_rather_long_name_of_a_memory", "S", "R", "ton"])
TEXTS = ["0", "12", "1_000", "16#FF", "3.5", "2.0e3", "INT#5", "INT#-1", "BOOL#1", "T#1s500ms", "TIME#-2h",
         "'it$'s, so'", '"wide"', "D#2026-01-31", "TOD#08:30:00", "DT#2026-01-31-08:30:00", "WORD#16#ABCD",
         "STRING#'x'"]  # fmt: skip
ADDRESSES = st.sampled_from(["", "%IX0.0", "%QW2"])
RELATIVE = st.sampled_from(["", "", "%B2", "%X3.0", "%W1"])
OPERATORS = ["OR", "XOR", "AND", "=", "<>", "<", ">", "<=", ">=", "+", "-", "*", "/", "MOD", "**"]


def bare(node):
    """Give a tree as nested tuples, without its places."""
    if isinstance(node, Place):
        return None
    if is_dataclass(node):
        return (type(node).__name__, *(bare(getattr(node, f.name)) for f in fields(node)))
    return tuple(bare(each) for each in node) if isinstance(node, tuple) else (type(node).__name__, node)


def literal(text):
    if text in ("TRUE", "FALSE"):
        return Literal(HERE, text == "TRUE", BOOL, text)
    return Literal(HERE, *read_literal(text), text)


literals = st.sampled_from([*TEXTS, "TRUE", "FALSE"]).map(literal) | st.builds(
    lambda name: Literal(HERE, 0, None, name, "Colour"), NAMES
)
numbers = st.sampled_from(TEXTS[:4]).map(literal)
parts = st.builds(Part, st.just(HERE), st.sampled_from("XBWDL"), st.integers(0, 9))


def accesses(values):
    selector = st.builds(Field, st.just(HERE), NAMES) | parts | st.just(Deref(HERE)) | st.builds(
        lambda row: Index(HERE, tuple(row)), st.lists(values, min_size=1, max_size=2)
    )  # fmt: skip
    named = NAMES | st.sampled_from(["%IX0.1", "%QW3"])
    return st.builds(lambda n, s: Access(HERE, n, tuple(s)), named, st.lists(selector, max_size=2))


plain = accesses(literals)


def arguments(values):
    one = (
        st.builds(lambda v: Argument(HERE, "", v), values)
        | st.builds(lambda n, v: Argument(HERE, n, v), NAMES, st.none() | values)
        | st.builds(lambda n, t, i: Argument(HERE, n, target=t, inverted=i), NAMES, plain, st.booleans())
    )
    return st.lists(one, max_size=3).map(tuple)


def _grown(values):
    return (
        st.builds(Infix, st.just(HERE), st.sampled_from(OPERATORS), values, values)
        | st.builds(Prefix, st.just(HERE), st.sampled_from(["NOT", "-"]), values)
        | st.builds(Call, st.just(HERE), NAMES.map(lambda n: Access(HERE, n)), arguments(values))
        | st.builds(
            lambda w, a: Call(HERE, Access(HERE, w), a), st.sampled_from(["AND", "OR", "XOR", "MOD"]), arguments(values)
        )
        | accesses(values)
    )


def _joined(values):
    return st.builds(Infix, st.just(HERE), st.sampled_from(OPERATORS), values, values) | st.builds(
        Prefix, st.just(HERE), st.sampled_from(["NOT", "-"]), values
    )


sums = st.recursive(NAMES.map(lambda name: Access(HERE, name)), _joined, max_leaves=12)
expressions = st.recursive(literals | plain, _grown, max_leaves=12)
few = st.recursive(literals | plain, _grown, max_leaves=4)


def _held(statements):
    bodies = st.lists(statements, max_size=3).map(tuple)
    arms = st.lists(st.tuples(few, bodies), min_size=1, max_size=3).map(tuple)
    labels = st.lists(st.tuples(labelled, st.none() | labelled), min_size=1, max_size=3).map(tuple)
    groups = st.lists(st.tuples(labels, bodies), max_size=3).map(tuple)
    return (
        st.builds(If, st.just(HERE), arms, bodies)
        | st.builds(Case, st.just(HERE), few, groups, bodies)
        | st.builds(For, st.just(HERE), plain, few, few, st.none() | few, bodies)
        | st.builds(While, st.just(HERE), few, bodies)
        | st.builds(Repeat, st.just(HERE), bodies, few)
    )


labelled = numbers | NAMES.map(lambda n: Access(HERE, n)) | st.builds(
    Prefix, st.just(HERE), st.just("-"), numbers
)  # fmt: skip
single = (
    st.builds(Let, st.just(HERE), plain, expressions)
    | st.builds(lambda t, a: Do(HERE, Call(HERE, t, a)), plain, arguments(few))
    | st.builds(Leave, st.just(HERE), st.sampled_from(["EXIT", "CONTINUE", "RETURN"]))
)
statements = st.lists(st.recursive(single, _held, max_leaves=6), max_size=4).map(tuple)

bounds = st.tuples(few, few)
named = (
    st.builds(Named, st.just(HERE), st.sampled_from(["BOOL", "INT", "TON", "Mine"]))
    | st.builds(Named, st.just(HERE), st.sampled_from(["STRING", "WSTRING"]), few)
    | st.builds(Named, st.just(HERE), st.just("BOOL"), st.none(), st.sampled_from(["R_EDGE", "F_EDGE"]))
)
words = st.lists(st.tuples(st.just(HERE), NAMES, st.none() | few), min_size=2, max_size=4).map(tuple)
enumerations = st.builds(Enumeration, st.just(HERE), words, st.sampled_from(["", "INT", "BYTE"]))
subranges = st.builds(Subrange, st.just(HERE), st.sampled_from(["INT", "UDINT"]), few, few)


def initials(inner):
    lists = st.lists(st.tuples(st.none() | numbers | st.builds(Access, st.just(HERE), NAMES), inner), max_size=3)
    rows = st.lists(st.tuples(st.just(HERE), NAMES, inner), min_size=1, max_size=3)
    return st.builds(ListInit, st.just(HERE), lists.map(tuple)) | st.builds(FieldInit, st.just(HERE), rows.map(tuple))


starts = st.none() | st.recursive(few, initials, max_leaves=5)


def _types(inner):
    fields_ = st.lists(
        st.builds(lambda n, t, i, a: Variable(HERE, n, t, i, a, Section("FIELD")), NAMES, inner, starts, RELATIVE),
        max_size=3,
    )
    arrays = st.builds(lambda r, t: ArrayOf(HERE, tuple(r), t), st.lists(bounds, min_size=1, max_size=2), inner)
    structures = st.builds(Structure, st.just(HERE), fields_.map(tuple), st.booleans())
    return arrays | structures | st.builds(RefTo, st.just(HERE), inner)


types = st.recursive(named | enumerations | subranges, _types, max_leaves=4)
sections = st.builds(
    Section, st.sampled_from(["VAR", "VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_TEMP", "VAR_EXTERNAL"]),
    st.booleans(), st.booleans(),
)  # fmt: skip


def variables(kinds):
    one = st.builds(
        lambda n, t, i, a, s: Variable(HERE, n, t, i, a, s), NAMES, types, starts, ADDRESSES, kinds
    ) | st.builds(lambda s: Variable(HERE, "%IX0.7", Named(HERE, "BOOL"), None, "%IX0.7", s), kinds)  # fmt: skip
    return st.lists(one, max_size=4).map(tuple)


accesses_ = st.lists(
    st.builds(AccessPath, st.just(HERE), NAMES, accesses(numbers), named, st.booleans()), max_size=2
).map(tuple)
units = st.builds(
    lambda k, n, t, v, b, a: Unit(HERE, k, n, t if k == "FUNCTION" else None, v, b, a),
    st.sampled_from(["PROGRAM", "FUNCTION_BLOCK", "FUNCTION"]), NAMES, types, variables(sections), statements,
    accesses_,
)  # fmt: skip
settings_ = st.lists(st.tuples(st.just(HERE), st.sampled_from(["INTERVAL", "PRIORITY", "SINGLE"]), few), max_size=2)
tasks = st.builds(lambda n, s: Task(HERE, n, tuple(s)), NAMES, settings_)
instances = st.builds(ProgramInstance, st.just(HERE), NAMES, st.just("") | NAMES, NAMES, arguments(few), st.booleans())
globals_ = st.builds(Section, st.just("VAR_GLOBAL"), st.booleans(), st.booleans())
rows_of_settings = st.builds(
    Setting, st.just(HERE), st.lists(NAMES, min_size=2, max_size=3).map(tuple), ADDRESSES, named, starts
)


def _configured(name, given, tasks_, programs, settings, rows, resource):
    inside = [tuple(replace(each, resource=resource) for each in row) for row in (tasks_, programs)]
    return Configuration(HERE, name, given, *inside, tuple(settings), rows)


configurations = st.builds(
    _configured, NAMES, variables(globals_), st.lists(tasks, max_size=2), st.lists(instances, max_size=2),
    st.lists(rows_of_settings, max_size=2), accesses_, st.sampled_from(["", "cpu"]),
)  # fmt: skip
files = st.builds(
    lambda t, v, u, c: File(tuple(t), tuple(u), v, tuple(c)),
    st.lists(st.builds(TypeName, st.just(HERE), NAMES, types, starts), max_size=2),
    variables(globals_), st.lists(units, max_size=2), st.lists(configurations, max_size=1),
)  # fmt: skip
