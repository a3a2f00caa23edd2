"""What the runs of a page show of the programs: counts, then each line of the source with what was not seen in it.

Counting is logic/coverage, the same in the terminal cli/views/coverage.py. Rule: a line is shown as it stands in its
file; what is missing stands below it.
"""

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from simplant.logic.coverage.sheet import Sheet
from simplant.logic.st.source_text import read_source
from simplant.report.html import said, table, tag
from simplant.rig.coverage import Coverage
from simplant.rig.plans import MAIN


def coverage_part(coverage: Coverage) -> str:
    """Give the coverage of every program, as HTML; nothing if nothing was run."""
    told = ""
    for folder, sheets in coverage.sheets.items():
        for controller, sheet in sheets.items():
            name = Path(folder).name + ("" if controller == MAIN else f", controller {controller}")
            rows = [(kind, c.seen, c.all, f"{100 * c.seen // c.all} %") for kind, c in sheet.counts().items()]
            told += table(("", ">seen", ">of", ">"), rows, caption=f"What these runs show of the program of {name}.")
            told += "".join(_gaps(sheet))
    return tag("h2", "Coverage") + told if told else ""


def _gaps(sheet: Sheet) -> Iterator[str]:
    """Give, file by file, the lines in which something was not seen."""
    for file, places in groupby(sheet.gaps(), key=lambda gap: gap[0].file):
        path = Path(file)
        lines = read_source(path).split("\n") if path.is_file() else []
        listed = ""
        for number, gaps in groupby(places, key=lambda gap: gap[0].line):
            line = lines[number - 1] if 0 < number <= len(lines) else ""
            listed += f"{number:5} | {line}\n" + "".join(f"      | {gap}\n" for _, gap in gaps)
        what = tag("summary", said(f"Lines of {file} in which something was not seen"))
        yield tag("details", what + tag("pre", said(listed), class_="wide", tabindex="0"))
