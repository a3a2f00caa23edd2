"""Texts for the reader of Structured Text, from bytes of no sense to programs that are nearly right.

Everything is drawn from the `Random` given. Rule: whatever comes, `read` ends: it is read, or told what is wrong.
"""

import re
from contextlib import suppress
from functools import cache
from random import Random

from simplant.errors import SimplantError
from simplant.logic.compile import compile_task
from simplant.logic.st.lints import lints
from simplant.logic.st.project import Project
from simplant.logic.st.source_text import read_source
from simplant.logic.st.tasks import lay_out
from tests.agree.st_programs import StAuthor
from tests.st.wanted import FILES

MOST = 1500
"""Letters of a text that is mended with pieces of others."""
_TOKEN = re.compile(r"\w+|:=|=>|<>|<=|>=|\(\*|\*\)|\s+|.", re.DOTALL)
_SPELLED = """IF THEN ELSE ELSIF END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL END_REPEAT
EXIT RETURN CONTINUE VAR VAR_INPUT VAR_OUTPUT VAR_IN_OUT VAR_TEMP VAR_EXTERNAL VAR_GLOBAL VAR_CONFIG VAR_ACCESS END_VAR
PROGRAM END_PROGRAM FUNCTION END_FUNCTION FUNCTION_BLOCK END_FUNCTION_BLOCK TYPE END_TYPE STRUCT END_STRUCT ARRAY
CONFIGURATION END_CONFIGURATION RESOURCE END_RESOURCE TASK WITH ON CONSTANT RETAIN AT STEP END_STEP INITIAL_STEP
TRANSITION END_TRANSITION PRIORITY FROM ACTION END_ACTION P0 SD
NAMESPACE END_NAMESPACE USING REF_TO NULL METHOD AND OR XOR NOT MOD TRUE FALSE INT BOOL REAL TIME
STRING WORD DATE TON CTU [ ] ( ) := => ; : , . .. + - * / ** = <> < > <= >= & ^ # @ ! ? % ~ | == && || { } ' " $ (* *)
// /* */ 1 0 2.5 16#FF T#5s T#1d2h D#2026-01-31 DT#2026-01-31-1:2:3 'x' "y" INT#5 a b c p f m %IX0.0 %Q* %MW1 SEL MAX
MUX CONCAT INT_TO_REAL SHL EXTENDS GOTO S= R= EN ENO RTC SPLIT_DATE LOWER_BOUND
REF( a^ .x^ OVERLAP %B1 %X3.0 READ_ONLY READ_WRITE IS_VALID TO_BIG_ENDIAN"""
_WORDS = _SPELLED.split()
_OPENINGS = (
    "(", "IF a THEN ", "NOT ", "-", "[", "a[", "f(", "(*", "/*", "{", "STRUCT x : ", "ARRAY[0..1] OF ", "CASE a OF 1: ",
    "REPEAT ", "FOR i := 0 TO 1 DO ", "NAMESPACE n ", "TYPE ", "VAR ", "a.", "a^", "1+", "2**", "'$'", "PROGRAM p ",
    "REF_TO ", "REF(", "STRUCT OVERLAP x : ",
)  # fmt: skip


def text_of(rnd):
    """Give a text of any of the kinds."""
    return rnd.choice((_bytes, _letters, _words, _mutant, _mutant, _mutant, _nested, _patchwork, _renumbered))(rnd)


def read(text):
    """Read, check, lay out, look for doubts and compile a text; give whether it can run."""
    project = Project(text, "fuzz.st")
    for mistake in project.report.mistakes[:50]:
        assert project.report.told(mistake)
    if project.report.errors:
        return False
    lints(project)
    with suppress(SimplantError):
        for layout in lay_out(project).layouts:
            compile_task(layout)
        return True
    return False


def _bytes(rnd):
    return rnd.randbytes(rnd.randint(0, 300)).decode(rnd.choice(("utf-8", "cp1252", "utf-16-le")), "replace")


def _letters(rnd):
    return "".join(chr(rnd.choice((rnd.randint(0, 127), rnd.randint(0, 0x2FF), 0xFEFF, 0x1F600))) for _ in range(
        rnd.randint(0, 200)))  # fmt: skip


def _words(rnd):
    return rnd.choice((" ", "\n", "")).join(rnd.choice(_WORDS) for _ in range(rnd.randint(1, 120)))


@cache
def _authored(seed):
    return StAuthor(Random(seed)).file()


def _program(rnd):
    if rnd.random() < 0.5:
        return _authored(rnd.randint(0, 199))
    return read_source(rnd.choice(FILES)).partition("*)")[2]


def _mutant(rnd):
    """A program of ours with some words taken away, doubled, exchanged or replaced."""
    words = _TOKEN.findall(_program(rnd)[:MOST])
    for _ in range(rnd.choice((1, 1, 2, 3, 10))):
        if not words:
            break
        at, other = rnd.randrange(len(words)), rnd.randrange(len(words))
        match rnd.randint(0, 4):
            case 0:
                del words[at : at + rnd.choice((1, 1, 3))]
            case 1:
                words[at:at] = words[at : at + rnd.choice((1, 5, 30))]
            case 2:
                words[at], words[other] = words[other], words[at]
            case 3:
                words[at] = rnd.choice(_WORDS)
            case _:
                words.insert(at, rnd.choice((*_WORDS, "\x00", "é", "\r", "9" * 400, "(" * 50)))
    return "".join(words)


def _renumbered(rnd):
    """A program of ours with other numbers in some places."""
    numbers = ("0", "1", "2", "7", "255", "256", "32768", "4294967296", "99999999999999999999")
    return re.sub(
        r"(?<![\w#.])\d+(?![\w#.])", lambda m: rnd.choice(numbers) if rnd.random() < 0.05 else m[0], _program(rnd)
    )


def _nested(rnd):
    """One thing many times in itself."""
    opening = rnd.choice(_OPENINGS)
    before = rnd.choice(("", "VAR a : INT; END_VAR ", "VAR a : ", "TYPE t : ", "x := "))
    return before + opening * rnd.choice((3, 41, 300, 3000))


def _patchwork(rnd):
    """Pieces of several programs."""
    pieces = []
    for _ in range(rnd.randint(2, 5)):
        lines = _program(rnd)[:MOST].splitlines()
        at = rnd.randrange(max(1, len(lines)))
        pieces += lines[at : at + rnd.randint(1, 12)]
    return "\n".join(pieces)
