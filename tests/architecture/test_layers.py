"""The layers and the homes of libraries, as `pyproject.toml` draws them."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.slow
def test_every_import_contract_is_kept():
    """No module imports what stands above it, and each library is known to its home only."""
    pytest.importorskip("importlinter", reason="import-linter comes with the extra `dev`")
    command = [Path(sys.executable).with_name("lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    broken = [line for line in done.stdout.splitlines() if line.endswith(" BROKEN")]
    assert (broken, done.returncode) == ([], 0), done.stdout
