"""What the head comment of a file in tests/st/corpus wants of it, and whether it is so.

`(* wanted: runs; with a = TRUE; after 3: x = 5, y = 'abc' *)`: runs without a warning, with inputs held from the first
scan on, and values after so many scans (1 if it does not say). Other outcomes: `warning: text | text`, which runs as
well; `error: text | text`, which is refused; `fails: text`, which
stops with a run-time error. Rule: every text must be told.
"""

import re
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from simplant.logic.st.lints import lints
from simplant.logic.st.project import open_project
from simplant.logic.st.report import SourceErrors
from simplant.logic.st.tasks import lay_out
from simplant.logic.walk import walk_task
from simplant.rig.table import Row, look, run_table
from simplant.rig.table_file import read_bench, read_value
from simplant.timebase import Ns, ms

CORPUS = Path(__file__).parent / "corpus"
FILES = sorted(CORPUS.glob("*.st"))
_HEAD = re.compile(r"\A\ufeff?\(\* wanted: (runs|warning|error|fails)(?:: (.*?))?(?:; (.*?))? ?\*\)")
_SPLIT = re.compile(r"\s*,\s*(?=[\w.%]+(?:\[[\d, ]+\][\w.]*)* = )")


@dataclass(frozen=True)
class Wanted:
    """The head comment of a file."""

    kind: str
    texts: tuple[str, ...]
    given: tuple[tuple[str, str], ...] = ()
    count: int = 1
    values: tuple[tuple[str, str], ...] = ()


def wanted(text):
    """Read a head comment."""
    head = _HEAD.match(text)
    assert head is not None, "a file of the corpus begins with what is wanted of it"
    given, count, values = (), 1, ()
    for part in (head[3] or "").split("; "):
        if part.startswith("with "):
            given = _pairs(part.removeprefix("with "))
        elif part:
            number = re.match(r"after (\d+): ", part)
            count, values = int(number[1]) if number else 1, _pairs(part[number.end() :] if number else part)
    return Wanted(head[1], tuple(t.strip() for t in (head[2] or "").split(" | ") if t.strip()), given, count, values)


def _pairs(text):
    return tuple(tuple(pair.split(" = ", 1)) for pair in _SPLIT.split(text))


def outcome(path):
    """Give what is wrong with a file, as its text is: ("error", told) or ("warning" or "runs", told)."""
    project = open_project(path)
    if not project.report.errors:
        with suppress(SourceErrors):  # what is wrong with a configuration stands in the report then
            lay_out(project)
    told = "\n".join(project.report.told(m) for m in project.report.mistakes)
    if project.report.errors:
        return "error", told
    assert isinstance(lints(project), list)
    return ("warning" if project.report.mistakes else "runs"), told


def after(path, want):
    """Run a file for so many scans, compiled and walked, and give its values as the head comment writes them."""
    bench, _ = read_bench(path)
    columns = [bench.column(name) for name, _ in want.values]
    row = Row(Ns(0), {bench.column(n).name: read_value(v, bench.column(n)) for n, v in want.given})
    runs = [run_table(bench, [row] if row.values else [], ms(10), Ns(10**12), *how) for how in ((), (walk_task,))]
    fast, plain = (list(islice(_copied(run), want.count))[-1] for run in runs)
    assert fast == plain, "compiled and walked must agree"
    return {c.name: (look(fast, c, bench), read_value(v, c)) for c, (_, v) in zip(columns, want.values, strict=True)}


def _copied(run):
    for _, values in run:
        yield dict(values)
