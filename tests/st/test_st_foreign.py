"""What other languages and dialects have and the standard has not: each word is named, none half understood.

The tables are logic/st/foreign.py; whole files are in the corpus. Rule: one form of message for all of them.
"""

import pytest

from simplant.logic.st.foreign import FUNCTIONS, MARKS, OBJECTS, OPERATORS, STATEMENTS, TYPES, VARIABLES
from simplant.logic.st.project import Project

TEXTS = {
    **{mark: f"VAR a, b, c : BOOL; END_VAR c := a {mark} b;" for mark in MARKS if mark not in "!~"},
    **{mark: f"VAR a, b, c : BOOL; END_VAR c := {mark} b;" for mark in "!~"},
    **{word: f"VAR a : INT; END_VAR {word} a;" for word in STATEMENTS if word not in ("END", "LOOP")},
    **{word: f"VAR a : INT; END_VAR {word};" for word in ("END", "LOOP")},
    **{word: f"VAR a : {word} TO INT; END_VAR" for word in TYPES if not word.startswith("VAR_")},
    **{word: f"VAR a, b, c : BOOL; END_VAR c := a {word} b;" for word in OPERATORS},
    **{f"{word}()": f"VAR a, b : DINT; END_VAR b := {word}(a);" for word in FUNCTIONS},
    **{f"{word}.": f"VAR a : INT; END_VAR a := {word}.b;" for word in VARIABLES},
    **{word: f"FUNCTION_BLOCK f {word} x {OBJECTS[word]} END_FUNCTION_BLOCK" for word in OBJECTS},
}


@pytest.mark.parametrize("word", TEXTS)
def test_each_is_named(word):
    """`not in IEC 61131-3: ...`, with what to write instead, at the place where it stands."""
    report = Project(TEXTS[word], "t.st").report
    told = [m for m in report.errors if m.what.startswith("not in IEC 61131-3: ")]
    assert told, [report.told(m) for m in report.mistakes]
    assert told[0].mend
