"""`simplant report`, `chart` and `diagram` as a user calls them: files, exit codes, exact words of mistakes."""

import builtins
import shutil
import sys
from pathlib import Path

import pytest

from simplant.cli import main

ROOT = Path(__file__).parents[2]
GOOD = "scenarios/comet_toss/good_calls.toml"


@pytest.fixture(autouse=True)
def copied(tmp_path, monkeypatch):
    skip = shutil.ignore_patterns("__pycache__")
    for folder in ("programs/comet_toss", "programs/sump_pumps", "scenarios/comet_toss"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=skip)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "120")
    return tmp_path


def called(capsys, *arguments):
    code = main(arguments)
    told = capsys.readouterr()
    return code, told.out, told.err


def test_a_report_goes_to_runs(capsys, copied):
    """Without --out it stands in `runs`, named after machine and scenario; nothing half-written stays beside it."""
    code, out, _ = called(capsys, "report", GOOD)
    assert (code, sorted(p.name for p in (copied / "runs").iterdir())) == (0, ["comet_toss-good_calls.html"])
    assert f"page written to {Path('runs/comet_toss-good_calls.html')}" in out
    assert "risk assessment" in out


def test_a_finding_is_exit_code_1(capsys, copied):
    """A run that is not as expected gives its page all the same, with the finding on top."""
    path = copied / "scenarios/comet_toss/odd.toml"
    path.write_text('machine = "comet_toss"\nlength = "3s"\n[expect]\nsteps = { cycle = "air" }\n', encoding="utf-8")
    code, out, _ = called(capsys, "report", str(path), "--out", "odd.html")
    assert code == 1
    assert "FINDING: at the end cycle is 'off'" in out
    assert "✕ 1 finding(s)" in Path("odd.html").read_text(encoding="utf-8")


def test_a_stored_trace_finds_its_machine_by_its_header(capsys):
    """A trace in `runs` is of a machine in `programs` beside it."""
    called(capsys, "dryrun", "programs/comet_toss", "--for", "5s")
    code, out, _ = called(capsys, "report", "runs/comet_toss-good_calls-1.trace")
    assert code == 0
    assert f"stored trace, not judged: {Path('runs/comet_toss-good_calls-1.trace')}" in out


def test_a_chart_as_svg_and_png(capsys):
    """Both at once; the PNG is one if its library is there."""
    pytest.importorskip("resvg_py")
    names = ("--show", "cycle,table.angle", "--from", "20s", "--to", "30s")
    assert called(capsys, "chart", GOOD, "--svg", "a.svg", "--png", "a.png", *names)[0] == 0
    assert Path("a.svg").read_text(encoding="utf-8").startswith("<svg")
    assert Path("a.png").read_bytes().startswith(b"\x89PNG")


def test_without_the_library_a_png_says_what_to_install(capsys, monkeypatch):
    """The message names the extra; nothing is written."""
    given = builtins.__import__

    def refusing(name, *rest):
        if name == "resvg_py":
            raise ImportError(name)
        return given(name, *rest)

    monkeypatch.delitem(sys.modules, "resvg_py", raising=False)
    monkeypatch.setattr(builtins, "__import__", refusing)
    code, _, err = called(capsys, "chart", GOOD, "--png", "a.png")
    assert (code, Path("a.png").exists()) == (2, False)
    assert err == (
        "simplant: a PNG needs a library that is not installed. It is an extra, as most are served by the SVG. "
        "Install it with python -m pip install 'simplant[report]', or write --svg FILE.\n"
    )


def test_diagrams_as_text_and_picture(capsys):
    """Mermaid is printed, SVG written; a machine without charts says so."""
    code, out, _ = called(capsys, "diagram", "programs/comet_toss")
    assert (code, out.splitlines()[:2]) == (0, ["stateDiagram-v2", "    [*] --> off"])
    code, out, _ = called(capsys, "diagram", "programs/comet_toss", "--svg", "d.svg")
    assert (code, out) == (0, "diagram written to d.svg\n")
    assert "tripped" in Path("d.svg").read_text(encoding="utf-8")


MISTAKES = {
    ("chart", GOOD): "nothing to write the chart to. Give --svg FILE, --png FILE or both.",
    ("chart", GOOD, "--svg", "a.svg", "--width", "10"): "a chart cannot be 10 pixels wide. Choose 400 to 8000.",
    ("chart", GOOD, "--svg", "a.svg", "--from", "9s", "--to", "8s"): "there is nothing from 9.000 s to 8.000 s. "
    "The run ends at 60.000 s. Let --from be before --to, and both within the run.",
    ("chart", GOOD, "--svg", "a.svg", "--show", "cycel"): "nothing is named 'cycel'. Close in spelling: cycle.",
    ("chart", "scenarios/comet_toss/left_turning.trace", "--svg", "a.svg", "--show", "wheel.speed"): "the run has no "
    "'wheel.speed'. A stored trace holds no continuous truths. Give the scenario, if it is one.",
    ("report", "none.toml"): "there is no file or folder none.toml. Name scenario files or folders of them.",
    (
        "diagram",
        "programs/comet_toss",
        "--chart",
        "cycel",
    ): "comet_toss has no chart 'cycel'. Close in spelling: cycle.",
    (
        "diagram",
        "programs/sump_pumps",
    ): "sump_pumps has no chart to draw. Its program is logic.ladder. Diagrams are drawn of step sequences, of a CASE "
    "of steps, and of sequential function charts.",
}


@pytest.mark.parametrize("arguments", MISTAKES, ids=" ".join)
def test_a_mistake_is_told_exactly(arguments, capsys):
    """Exit code 2, one message, no file."""
    code, _, err = called(capsys, *arguments)
    assert (code, err) == (2, f"simplant: {MISTAKES[arguments]}\n")
    assert not Path("a.svg").exists()


def test_a_trace_without_a_machine_says_so(capsys):
    """The header must name the machine, and there must be one of that name."""
    Path("x.trace").write_text("# simplant trace, format 1\n0.000000000 a 1\n", encoding="utf-8")
    _, _, err = called(capsys, "report", "x.trace")
    assert err == "simplant: x.trace does not say of which machine it is. Its header has a line '# machine: NAME'.\n"
