"""`simplant convert`: what is written, printed and refused, and that a text read again is the same program."""

import json
import shutil
from pathlib import Path

import pytest

from simplant.cli.main import main
from simplant.logic.convert.programs import SAFETY
from simplant.logic.st.project import read_project

LADDER = """\
(* what drives the motor *)

PROGRAM demo
VAR
  start : BOOL; (* green button *)
  stop  : BOOL;
  run   : BOOL;
END_VAR

(* the motor holds itself *)
|   start        stop                  run     |
+--+--| |---+----|/|-------------------( )-----+
|  |  run   |                                  |
|  +--| |---+                                  |

END_PROGRAM
"""

IN_TEXT = """\
(* the motor holds itself *)
run := (start OR run) AND NOT stop;
END_PROGRAM
"""


def told(capsys, *arguments):
    code = main(["convert", *map(str, arguments)])
    said = capsys.readouterr()
    return code, said.out, said.err.replace("\n", " ")


def test_the_second_controller_of_a_machine(capsys):
    """By the machine and a name, or by its file: one text, with safety and the author's words at its head."""
    code, by_name, _ = told(capsys, "comet_toss", "--to", "st", "--controller", "pulses")
    _, by_file, _ = told(capsys, "programs/comet_toss/pulses.py", "--to", "st")
    assert (code, by_name) == (0, by_file)
    words = " ".join(by_name.split())
    assert SAFETY in words
    assert "It polls its lines, keeps its direction while it moves" in words
    assert "(* direction only from standstill *) IF right_line AND NOT busy THEN table_right := TRUE; END_IF;" in words


def test_a_ladder_becomes_text(tmp_path, capsys):
    """Each rung a statement, its comment above it; the words at its head and beside its variables stay."""
    (tmp_path / "demo.ladder").write_text(LADDER, encoding="utf-8")
    code, text, _ = told(capsys, tmp_path / "demo.ladder", "--to", "st")
    assert code == 0
    assert text.endswith(IN_TEXT)
    assert "what drives the motor" in text
    assert "  start : BOOL; (* green button *)\n" in text


def test_written_whole(tmp_path, capsys):
    """To a file: it reads without a mistake; what is printed names it; as JSON the text is there too."""
    out = tmp_path / "made.st"
    code, said, _ = told(capsys, "comet_toss", "--to", "st", "--out", out)
    assert code == 0
    assert "programs/comet_toss/logic.py written as Structured Text to" in said
    read_project(out)
    _, printed, _ = told(capsys, "comet_toss", "--to", "st", "--json")
    assert json.loads(printed)["text"] == out.read_text(encoding="utf-8")


REFUSED = [
    (["comet_toss", "--to", "ladder"], "programs/comet_toss/logic.py is Python, it does not become a ladder. Its "
     "sequences and calculations have no rungs, and drawing some for them would be guessing. Convert it --to st."),
    (["programs/stamp_station/logic.st", "--to", "st"],
     "programs/stamp_station/logic.st is Structured Text already. There is nothing to convert."),
    (["programs/stamp_station/logic.st", "--to", "ladder"],
     "no body in programs/stamp_station/logic.st is a ladder. Statements and charts do not become rungs."),
    (["comet_toss", "--to", "st", "--controller", "pules"],
     "comet_toss has no controller 'pules'. Close in spelling: pulses."),
    (["programs/comet_toss/rules.py", "--to", "st"],
     "programs/comet_toss/rules.py is not the logic of a controller of comet_toss. There is logic.py, pulses.py."),
    (["programs/stamp_station/logic.st", "--to", "st", "--controller", "main"],
     "programs/stamp_station/logic.st is one program. --controller chooses among those of a machine. Leave it out."),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "why"), REFUSED)
def test_refused(arguments, why, capsys):
    """With the reason and what to do, and nothing is printed."""
    code, said, error = told(capsys, *arguments)
    assert (code, said, error) == (2, "", f"simplant: {why} ")


CANNOT = [
    ("    p.python(lambda a: a, reads=[t.right_line], writes=[t.arm_open])\n",
     "<lambda> is plain Python, which no other language can say. Write it with expressions on tags: rungs, moves and "
     "blocks."),
    ("    p.tof('then', t.table_move, ms(300))\n",
     "'then' cannot be a name in Structured Text. THEN is a word of the standard's languages. Rename it in the "
     "program."),
    ("    p.memory('Busy')\n",
     "Busy and busy would be one name. Letter case does not count in the standard's languages. Rename one of them."),
]  # fmt: skip


@pytest.mark.parametrize(("line", "why"), CANNOT)
def test_what_python_cannot_say(line, why, tmp_path, capsys):
    """Plain Python and names are refused at their place; nothing is written."""
    folder = tmp_path / "comet_toss"
    shutil.copytree("programs/comet_toss", folder)
    source = folder / "pulses.py"
    text = source.read_text(encoding="utf-8").replace("    return p\n", f"{line}    return p\n")
    source.write_text(text, encoding="utf-8")
    code, _, error = told(capsys, source, "--to", "st", "--out", tmp_path / "out.st")
    number = text[: text.index(line)].count("\n") + 1
    assert (code, error) == (2, f"simplant: {source.as_posix()}:{number}: {why} ")
    assert not Path(tmp_path / "out.st").exists()
