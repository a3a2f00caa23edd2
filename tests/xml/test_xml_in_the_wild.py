"""Files as the exporters of many systems write them: what each does, and that it does so in every other face too.

The files in wild/ are our own, written after the schemes as they are remembered; the first comment of each says what it
is about, what goes in, and what must come out: derived by hand, or by a few lines of Python that know the machine and
not the file. Rule: one file, one thing that could be read wrongly.
"""

import re
from pathlib import Path

import pytest

from simplant.logic.convert.faces import of_project
from simplant.logic.fbd.for_rungs import rungs_of
from simplant.logic.fbd.tree import Graph
from simplant.logic.ladder.tree import Ladder
from simplant.logic.st.project import open_project, read_project
from simplant.logic.st.report import SourceErrors
from simplant.logic.st.tasks import lay_out
from simplant.rig.table import first_difference, run_table
from simplant.rig.table_file import difference_text, read_bench, read_table
from simplant.timebase import Ns, ms

FILES = sorted((Path(__file__).parent / "wild").glob("*.xml"))
HEAD = re.compile(
    r"<!-- (?P<about>[^\n]*)\n(?:unit: (?P<unit>\w+)\n)?(?:given:\n(?P<given>.*?\n))?"
    r"(?:wanted:\n(?P<wanted>.*?)|refused:\n(?P<refused>.*?))\n-->", re.DOTALL,
)  # fmt: skip
NOT_IN_IEC = {"var_var"}
"""A variable within a wire: IEC 61131-10 is not known to have one."""


def said(path):
    found = HEAD.search(path.read_text(encoding="utf-8"))
    assert found is not None, f"{path.name} does not say what is wanted of it"
    return found


DONE = [path for path in FILES if said(path)["refused"] is None]
REFUSED = [path for path in FILES if path not in DONE]


def difference(program, path, folder):
    """Run a program on the table of a file; give the first difference from what that wants."""
    head = said(path)
    bench, _ = read_bench(program, head["unit"])
    tables = {}
    for name in ("given", "wanted"):
        (folder / f"{name}.csv").write_text(head[name] or "time\n", encoding="utf-8")
        tables[name] = read_table(folder / f"{name}.csv", bench)
    last = max((row.time for rows in tables.values() for row in rows), default=Ns(0))
    found = first_difference(bench, run_table(bench, tables["given"], ms(10), last), tables["wanted"])
    return difference_text(found) if found is not None else ""


def faces(path, folder):
    """Give the file in every other face that it has, as files."""
    project = read_project(path)
    edition = "iec" if FILES.index(path) % 2 and path.stem not in NOT_IN_IEC else "tc6"
    wanted = {"st": ("st", "tc6"), f"{edition}.xml": ("xml", edition)}
    bodies = [rungs_of(u.body) if isinstance(u.body, Graph) else u.body for u in project.written.units]
    if any(isinstance(body, Ladder) for body in bodies) and all(isinstance(body, Ladder | tuple) for body in bodies):
        wanted["ladder"] = ("ladder", "tc6")
    for ending, (face, edition) in wanted.items():
        made = folder / f"made.{ending}"
        made.write_text(of_project(project, "xml", face, edition), encoding="utf-8")
        yield made


@pytest.mark.parametrize("path", DONE, ids=lambda path: path.stem)
def test_it_does_what_it_says(path, tmp_path):
    """What is wanted comes out, in every scan."""
    assert difference(path, path, tmp_path) == ""


@pytest.mark.slow
@pytest.mark.parametrize("path", DONE, ids=lambda path: path.stem)
def test_every_face_does_the_same(path, tmp_path):
    """As text, as XML of one or the other scheme, and as ladder text, where it is a ladder, it gives what is wanted."""
    differences = {made.name: difference(made, path, tmp_path) for made in faces(path, tmp_path)}
    assert differences == dict.fromkeys(differences, "")


@pytest.mark.parametrize("path", REFUSED, ids=lambda path: path.stem)
def test_it_is_refused_with_the_reason(path):
    """What has no meaning, or none that is known, is told once, at its place."""
    project = open_project(path)
    report = project.report
    if not report.errors:
        with pytest.raises(SourceErrors):
            lay_out(project)
    found = [f"{m.place.line}:{m.place.column} {m.what}{f': {m.why}' if m.why else ''}" for m in report.errors]
    assert found == (said(path)["refused"] or "").splitlines()
