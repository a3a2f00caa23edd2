"""The standard blocks as lines of source: what compile.py puts into a scan instead of a call.

The blocks themselves, which these lines must equal in every state, are in blocks/
(tests/laws holds both together). Fields stand as {IN}; a line of `due` reports when time alone
would change the outcome. Rule: a block without lines here is called as a function, and is right too.
"""

from typing import Final

_REPORT: Final = "elif d < due: due = d"

LINES: Final[dict[str, tuple[str, ...]]] = {
    "TON": (
        "if {IN}:",
        "    if {start} < 0: {start} = now",
        "    if not {Q}:",
        "        d = {start} + {PT}",
        "        if now >= d: {Q} = True",
        f"        {_REPORT}",
        "else:",
        "    {Q} = False",
        "    {start} = -1",
    ),
    "TOF": (
        "if {IN}:",
        "    {Q} = True",
        "    {start} = -1",
        "elif {Q}:",
        "    if {start} < 0: {start} = now",
        "    d = {start} + {PT}",
        "    if now >= d: {Q} = False",
        f"    {_REPORT}",
    ),
    "TP": (
        "if {start} < 0:",
        "    {Q} = {IN} and {PT} > 0",
        "    if {IN}: {start} = now",
        "elif {Q} and now - {start} >= {PT}:",
        "    {Q} = False",
        "if {Q}:",
        "    d = {start} + {PT}",
        "    if d < due: due = d",
        "elif not {IN}:",
        "    {start} = -1",
    ),
    "R_TRIG": ("{Q} = {CLK} and not {M}", "{M} = {CLK}"),
    "F_TRIG": ("{Q} = not ({CLK} or {M})", "{M} = not {CLK}"),
    "SR": ("{Q1} = {S1} or ({Q1} and not {R})",),
    "RS": ("{Q1} = not {R1} and ({S} or {Q1})",),
    "CTU": (
        "if {R}: {CV} = 0",
        "elif {CU} and not {M} and {CV} < 32767: {CV} += 1",
        "{M} = {CU}",
        "{Q} = {CV} >= {PV}",
    ),
    "CTD": (
        "if {LD}: {CV} = {PV}",
        "elif {CD} and not {M} and {CV} > -32768: {CV} -= 1",
        "{M} = {CD}",
        "{Q} = {CV} <= 0",
    ),
}


def _elapsed(runs: str) -> tuple[str, ...]:
    return (
        "if {start} < 0: {ET}, {live} = 0, False",
        f"elif {runs}:",
        "    {ET}, {live} = now - {start}, True",
        "    if {ET} > {PT}: {ET} = {PT} if {PT} > 0 else 0",
        "else: {ET}, {live} = {PT} if {PT} > 0 else 0, False",
    )


ELAPSED: Final[dict[str, tuple[str, ...]]] = {
    "TON": _elapsed("not {Q}"),
    "TOF": _elapsed("{Q}"),
    "TP": _elapsed("{Q}"),
}
"""What computes a timer's ET, and whether it runs: `live`."""
