"""What an import loads: nothing that a small test of a machine does not need."""

import subprocess
import sys

import pytest

HEAVY = ("pytest", "hypothesis", "rich", "textual", "dask", "pymodbus")


def loaded(imported, watched):
    """Give which of some modules a fresh Python has loaded after an import."""
    code = f"import sys, {imported}; print(*(name for name in {watched!r} if name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return done.stdout.split()


@pytest.mark.slow
def test_simplant_loads_no_front_door():
    """`import simplant` loads no test tool, no fuzzer, no terminal, no cluster, no bus."""
    assert loaded("simplant", HEAVY) == []


@pytest.mark.slow
def test_the_plug_in_loads_pytest_alone():
    """pytest loads the plug-in in every project, so it brings nothing but the package's own face."""
    assert loaded("simplant.pytest_plugin", ("hypothesis", "rich", "simplant.cli", "simplant.testing")) == []


@pytest.mark.slow
def test_the_kits_load_no_test_tool():
    """The conformance kits can be used without pytest and hypothesis."""
    assert loaded("simplant.testing", HEAVY) == []
