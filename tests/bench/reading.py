"""How fast Structured Text is read, checked and compiled: one long file, made here, in lines a second.

Rule: every block differs in its names, and all of them run.
"""

from simplant.logic.compile import compile_task
from simplant.logic.st.lints import lints
from simplant.logic.st.project import Project
from simplant.logic.st.tasks import lay_out

_BLOCK = """FUNCTION_BLOCK block_{0}
VAR_INPUT
  start, stop : BOOL;  (* the buttons *)
  speed : INT;
END_VAR
VAR_OUTPUT
  running : BOOL;
  total : DINT;
END_VAR
VAR
  late : TON; edge : R_TRIG; step : INT; level : ARRAY[1..4] OF REAL; i : INT;
END_VAR
running := (start OR running) AND NOT stop;
late(IN := running, PT := T#250ms);
edge(CLK := late.Q);
IF edge.Q AND speed > 10 THEN
  total := total + INT_TO_DINT(speed) * 2;
ELSIF speed < 0 THEN
  total := 0;
END_IF;
CASE step OF
  0: IF running THEN step := 10; END_IF;
  10, 11: IF late.Q THEN step := 20; END_IF;
  20..29: step := step + 1;
ELSE
  step := 0;
END_CASE;
FOR i := 1 TO 4 DO
  level[i] := level[i] * 0.9 + INT_TO_REAL(speed) / 3.0;
END_FOR;
END_FUNCTION_BLOCK
"""


def long_text(lines):
    """Make a file of at least so many lines: blocks, and a program that has one instance of each."""
    count = -(-lines // (_BLOCK.count("\n") + 2))
    declared = "".join(f"  b{n} : block_{n};\n" for n in range(count))
    calls = "".join(f"b{n}(start := TRUE, stop := FALSE, speed := {n});\n" for n in range(count))
    blocks = "".join(_BLOCK.format(n) for n in range(count))
    return f"{blocks}PROGRAM main\nVAR\n{declared}END_VAR\n{calls}END_PROGRAM\n"


def read(text):
    """Read a file, check it with all warnings, compile it; give what runs."""
    project = Project(text, "long.st")
    project.report.raise_errors()
    (layout,) = lay_out(project).layouts
    assert not lints(project)
    return compile_task(layout)
