"""VCD as an independent reader and the standard see it: IEEE 1364-2005 clause 18.

The reader is the vcdvcd library. Rules of the format are from the published BNF of the standard
where nothing else is said beside the check.
"""

import re
import signal
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from vcdvcd import VCDVCD

from simplant.scenario.trace import EVENT, Trace
from simplant.scenario.vcd import write_vcd

if hasattr(signal, "SIGPIPE"):  # the reader gives SIGPIPE its deadly default back when imported: a worker that dies
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)  # elsewhere in this session would take pytest along

RUN = Trace(
    (
        (0, "gate_release_cmd", False),
        (0, "balls.caught", 0),
        (0, "wheel.speed", 0.0),
        (0, "calls", "idle"),
        (0, EVENT, "power on, $end of nothing"),
        (10_000_000, "gate_release_cmd", True),
        (20_000_000, "balls.caught", 5),
        (20_000_000, "wheel.speed", 1500.5),
        (20_000_001, "calls", "toss"),
        (30_000_000, "gate_release_cmd", False),
        (30_000_000, "balls.caught", -2),
        (40_000_000, "late", True),
    ),
    {"machine": "comet_toss", "seed": "7"},
)

TEXT = """\
$version simplant $end
$comment machine: comet_toss $end
$comment seed: 7 $end
$timescale 1 ns $end
$scope module comet_toss $end
$var wire 1 ! gate_release_cmd $end
$var integer 32 $ calls $end
$comment calls: 0 = "idle", 1 = "toss" $end
$var wire 1 % late $end
$scope module balls $end
$var integer 32 " caught $end
$upscope $end
$scope module wheel $end
$var real 64 # speed $end
$upscope $end
$upscope $end
$enddefinitions $end
#0
$dumpvars
0!
b0 "
r0.0 #
b0 $
x%
$end
$comment power on, $ end of nothing $end
#10000000
1!
#20000000
b101 "
r1500.5 #
#20000001
b1 $
#30000000
0!
b11111111111111111111111111111110 "
#40000000
1%
#60000000
"""


def changes(path, name):
    return VCDVCD(str(path))[name].tv


def test_the_file_is_as_the_clause_says(tmp_path):
    """Whole text: declarations, then `$dumpvars`, then changes by time."""
    path = tmp_path / "run.vcd"
    write_vcd(RUN, path, 60_000_000)
    assert path.read_text(encoding="utf-8") == TEXT


def test_the_reader_finds_every_change(tmp_path):
    """What vcdvcd reads is what was recorded, to the nanosecond."""
    path = tmp_path / "run.vcd"
    write_vcd(RUN, path, 60_000_000)
    vcd = VCDVCD(str(path))
    assert vcd.timescale["timescale"] == Decimal("1e-9")
    assert vcd.endtime == 60_000_000
    assert changes(path, "comet_toss.gate_release_cmd") == [(0, "0"), (10_000_000, "1"), (30_000_000, "0")]
    assert changes(path, "comet_toss.balls.caught") == [(0, "0"), (20_000_000, "101"), (30_000_000, f"{2**32 - 2:b}")]
    assert changes(path, "comet_toss.wheel.speed") == [(0, "0.0"), (20_000_000, "1500.5")]
    assert changes(path, "comet_toss.calls") == [(0, "0"), (20_000_001, "1")]
    assert changes(path, "comet_toss.late") == [(0, "x"), (40_000_000, "1")]


def test_words_and_marks_of_the_grammar(tmp_path):
    """Only keywords of the BNF; identifier codes of the characters ! to ~; one blank in vectors, none in scalars.

    Identifier code: IEEE 1364-2001 18.2.1, quoted in parser sources. Real change: from memory, IEEE 1364 18.2.1.
    Timescale number and unit: from memory, IEEE 1364 18.2.3.
    """
    path = tmp_path / "run.vcd"
    many = Trace(tuple((0, f"tag_{n}", n % 7) for n in range(9_000)))
    for trace in (RUN, many):
        write_vcd(trace, path)
        text = path.read_text(encoding="utf-8")
        body = re.sub(r"\$comment .*? \$end", "", text)
        keywords = {word.strip() for word in re.findall(r"^\$[a-z]+| \$end$", body, re.MULTILINE)}
        assert keywords <= {
            "$version",
            "$timescale",
            "$scope",
            "$upscope",
            "$var",
            "$enddefinitions",
            "$dumpvars",
            "$end",
        }
        assert re.search(r"^\$timescale (1|10|100) (s|ms|us|ns|ps|fs) \$end$", body, re.MULTILINE)
        codes = re.findall(r"^\$var \w+ \d+ (\S+) ", body, re.MULTILINE)
        assert len(codes) == len(set(codes)) == len({name for _, name, _ in trace if name != EVENT})
        assert all("!" <= letter <= "~" for code in codes for letter in code)
        for line in body.partition("$dumpvars\n")[2].splitlines():
            assert line in ("", "$end") or re.fullmatch(r"#\d+|[01x][!-~]+|b[01x]+ [!-~]+|r\S+ [!-~]+", line)


def test_integers_wider_than_32_bits_keep_their_value(tmp_path):
    """The extremes of LINT and ULINT fit (two's complement)."""
    path = tmp_path / "run.vcd"
    write_vcd(Trace(((0, "a", -(2**63)), (0, "b", 2**64 - 1), (1, "a", 2**63 - 1))), path)
    assert changes(path, "machine.a[63:0]") == [(0, "1" + 63 * "0"), (1, "1" * 63)]
    assert changes(path, "machine.b[63:0]") == [(0, "1" * 64)]


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 10**13), st.integers(-(2**40), 2**40)), max_size=12))
def test_any_course_comes_back(tmp_path_factory, steps):
    """Every integer course read back by vcdvcd equals the one written."""
    path = tmp_path_factory.mktemp("vcd") / "run.vcd"
    rows = [(0, "n", -(2**40))]
    for span, value in steps:
        if value != rows[-1][2]:
            rows.append((rows[-1][0] + span, "n", value))
    write_vcd(Trace(tuple(rows)), path)
    assert [(t, int(bits, 2)) for t, bits in changes(path, "machine.n[63:0]")] == [(t, v % 2**64) for t, _, v in rows]
