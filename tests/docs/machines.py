"""The made pieces of the READMEs of the demo machines: diagrams of their programs.

`python -m tests.docs.machines` writes them anew; test_machine_pages.py says whether they are current. Rule: they are
what the commands `simplant diagram` and `simplant rungs` give, and nothing else.
"""

import io
import re
from collections.abc import Mapping
from contextlib import redirect_stdout
from pathlib import Path
from tempfile import TemporaryDirectory

from simplant.cli import main
from tests.docs.markdown import ROOT

PROGRAMS = ROOT / "programs"


def pieces() -> Mapping[Path, str]:
    """Give the text of every file that is made, or has a made piece."""
    made = {PROGRAMS / "sump_pumps" / "tail.svg": drawn("rungs", "sump_pumps", "--rung", "9", "--at", "30s")}
    for machine in ("comet_toss", "stamp_station"):
        page = PROGRAMS / machine / "README.md"
        made[page] = with_piece(page, "cycle", f"```mermaid\n{said('diagram', machine, '--mermaid')}```\n")
        made[PROGRAMS / machine / "cycle.svg"] = drawn("diagram", machine)
    return made


def with_piece(page: Path, name: str, text: str) -> str:
    """Put a piece between its marks."""
    whole = page.read_text(encoding="utf-8")
    marks = re.compile(rf"(<!-- made: {name} -->\n).*?(<!-- end -->)", flags=re.DOTALL)
    return marks.sub(lambda found: f"{found[1]}{text}{found[2]}", whole)


def said(command: str, machine: str, *options: str) -> str:
    """Give what a command prints."""
    out = io.StringIO()
    with redirect_stdout(out):
        assert main([command, str(PROGRAMS / machine), *options]) == 0
    return out.getvalue()


def drawn(command: str, machine: str, *options: str) -> str:
    """Give the SVG that a command writes."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "drawing.svg"
        said(command, machine, *options, "--svg", str(file))
        return file.read_text(encoding="utf-8").replace(f"{PROGRAMS.as_posix()}/", "programs/")


if __name__ == "__main__":
    for path, text in pieces().items():
        path.write_text(text, encoding="utf-8", newline="\n")
