"""The command line: `simplant COMMAND ...`; every command prints for people, or JSON with `--json`.

Exit codes: 0 everything held; 1 a finding (a rule broken, a trace that differs); 2 wrong usage or input.
"""

from simplant.cli.main import main

__all__ = ["main"]
