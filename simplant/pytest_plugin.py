"""The pytest plug-in: scenario files as test items, and fixtures for machines and rigs.

Running and judging is rig/, the words of a failure are rig/ and scenario/ too; this file only hangs them into pytest.
Rule: pytest loads this module in every project, so everything of simplant's is imported where it is used.
"""

import os
import re
from collections.abc import Callable, Generator, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Protocol

import pytest

from simplant.pytest_matrix import matrix_file
from simplant.pytest_tables import table_file

if TYPE_CHECKING:
    from simplant.rig.coverage import Coverage
    from simplant.rig.machine import Machine
    from simplant.rig.replay import Replayed
    from simplant.rig.rig import Rig
    from simplant.scenario.model import Scenario

__all__ = ["MachineFactory", "RigFactory"]

_NAMES_A_MACHINE: Final = re.compile(r"""\s*machine\s*=\s*["']([^"']+)["']""")
_SECTION: Final = "simplant"  # heading of what a report says besides the failure itself

MachineFactory = Callable[["str | Path"], "Machine"]
"""What the fixture `machine` gives: folder -> machine."""


class RigFactory(Protocol):
    """What the fixture `rig` gives."""

    def __call__(
        self, machine: "Machine | str | Path", scenario: "Scenario | None" = None, *, rules: bool = True
    ) -> "Rig":
        """Put a machine on the bench.

        Args:
            machine: a machine, or its folder, seen from the root of the test run.
            scenario: what happens to it.
            rules: demand the machine's own rules; more can be demanded before the first instant.
        """
        ...


class _Bench:
    """What one pytest session shares: the machines read so far, by folder."""

    def __init__(self, config: pytest.Config) -> None:
        self.root: Final = config.rootpath
        self.every_scan: Final = bool(config.getoption("--simplant-every-scan"))
        self.machines: Final[dict[Path, Machine]] = {}
        self.warned = 0
        self.coverage: Coverage | None = None
        self.coverage_file: str | None = config.getoption("--simplant-coverage")
        if self.coverage_file and not self.coverage_file.lower().endswith(".json"):
            raise pytest.UsageError(f"--simplant-coverage={self.coverage_file} is no .json file: write ...=FILE.json")

    def machine(self, folder: "str | Path") -> "Machine":
        path = (self.root / folder).resolve()
        if path not in self.machines:
            self.machines[path] = self.load(path)
        return self.machines[path]

    def load(self, folder: Path) -> "Machine":
        """Read a machine; with coverage, its programs are probed."""
        from simplant.rig.machine import Machine

        if self.coverage_file is None:
            return Machine.load(folder)
        from simplant.rig.coverage import Coverage

        self.coverage = self.coverage or Coverage()
        return self.coverage.load(folder)


_BENCH: Final = pytest.StashKey[_Bench]()
_RIGS: Final = pytest.StashKey[list["Rig"]]()
_FOUND: Final = pytest.StashKey[Exception]()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the options."""
    group = parser.getgroup("simplant", "machines and scenarios (simplant)")
    group.addoption(
        "--simplant-every-scan", action="store_true", help="run every scan instead of sleeping through quiet ones"
    )
    group.addoption(
        "--simplant-coverage",
        nargs="?",
        const="",
        metavar="FILE",
        help="tell what scenarios and rigs show of the programs; FILE: all of it as JSON (write --simplant-coverage=)",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Set up what the session shares."""
    config.stash[_BENCH] = _Bench(config)


# Scenario files


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.File | None:
    """Take a machine's scenarios and matrix, and tables that say what a program beside them must do."""
    if file_path.suffix == ".toml" and is_scenario(file_path, parent.config.rootpath):
        file: ScenarioFile = ScenarioFile.from_parent(parent, path=file_path)
        return file
    return matrix_file(file_path, parent) or table_file(file_path, parent)


def is_scenario(path: Path, root: Path) -> bool:
    """Say whether a TOML file is a scenario.

    It is one if it lies in or under a folder `scenarios` that has machines beside or above it (`programs/NAME`), and
    then a file that is written wrongly fails; anywhere else, if its first keys name such a machine.
    """
    machines = [m.parent.name for folder in path.parents for m in folder.glob("programs/*/machine.toml")]
    if not machines:
        return False
    if path.is_relative_to(root) and "scenarios" in path.relative_to(root).parts[:-1]:
        return True
    return _named_machine(path) in machines


def _named_machine(path: Path) -> str | None:
    """Give the machine that the keys before the first table name."""
    for line in path.read_bytes().decode("utf-8-sig", "replace").splitlines():
        if line.lstrip().startswith("["):
            break
        if found := _NAMES_A_MACHINE.match(line):
            return found[1]
    return None


class ScenarioFile(pytest.File):
    """A scenario file."""

    def collect(self) -> Iterable[pytest.Item]:
        """Give its one test."""
        yield ScenarioItem.from_parent(self, name=self.path.stem)


class ScenarioFailed(Exception):  # noqa: N818 - it is a finding, no error
    """A scenario did not go as expected."""

    def __init__(self, replayed: "Replayed") -> None:
        """Keep what was run."""
        super().__init__(replayed)
        self.replayed = replayed


class ScenarioItem(pytest.Item):
    """A scenario that is run, judged, and held against its stored trace."""

    def runtest(self) -> None:
        """Run it."""
        from simplant.rig.replay import replay_file

        bench = self.config.stash[_BENCH]
        replayed = replay_file(self.path, bench.machines, every_scan=bench.every_scan, load=bench.load)
        if not replayed.good:
            raise ScenarioFailed(replayed)
        if replayed.result.warnings:
            bench.warned += 1
            self.add_report_section("call", _SECTION, "\n".join(replayed.result.warnings))

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Say what was found, when, what happened around it, and how to see it again; no Python lines."""
        from simplant.errors import SimplantError

        match excinfo.value:
            case ScenarioFailed(replayed=replayed):
                return f"{_told(replayed)}\nagain: simplant replay {self._seen()}"
            case SimplantError() as error:
                return str(error).replace(f"{self.config.invocation_params.dir}{os.sep}", "")
            case _:
                return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Path, int, str]:
        """Name it in reports."""
        return self.path, 0, f"scenario {self.name}"

    def _seen(self) -> str:
        """Give the file as one would write it where pytest was started."""
        here = self.config.invocation_params.dir
        return (self.path.relative_to(here) if self.path.is_relative_to(here) else self.path).as_posix()


def _told(replayed: "Replayed") -> str:
    """Tell what was found, and where the run parts from its stored trace."""
    if replayed.difference is None:
        return replayed.told()
    from simplant.cli.views.difference import difference_text

    return "\n".join([replayed.told(), difference_text(replayed.difference)]).lstrip("\n")


# Fixtures


@pytest.fixture(scope="session")
def machine(pytestconfig: pytest.Config) -> MachineFactory:
    """Read a machine's folder, seen from the root of the test run; each is read once per session."""
    return pytestconfig.stash[_BENCH].machine


@pytest.fixture
def rig(request: pytest.FixtureRequest) -> RigFactory:
    """Put machines on the bench; when the test ends, each must have kept its rules.

    A run that the test itself holds against its rules (`rig.check()`, as its last word on that run) is not looked at
    again, so a test may expect `RuleBroken`.
    """
    bench = request.config.stash[_BENCH]
    rigs = request.node.stash.setdefault(_RIGS, [])

    def build(machine: "Machine | str | Path", scenario: "Scenario | None" = None, *, rules: bool = True) -> "Rig":
        from simplant.rig.machine import Machine
        from simplant.rig.rig import Rig

        whole = machine if isinstance(machine, Machine) else bench.machine(machine)
        built = Rig(whole, scenario, claims=None if rules else (), every_scan=bench.every_scan)
        rigs.append(built)
        return built

    return build


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Hold each rig against its rules while the test is still running: a broken one is a failure, not an error."""
    rigs = item.stash.get(_RIGS, [])
    try:
        result = yield
    except (Exception, pytest.fail.Exception):
        for rig in [r for r in rigs if r.now]:  # one that never got going has nothing to tell
            item.add_report_section("call", _SECTION, rig.told())
        raise
    for rig in rigs:
        if not rig.checked:
            try:
                rig.check()
            except Exception as error:
                item.stash[_FOUND] = error
                raise
    return result


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Show what a rig found after the test's last line without lines of simplant's own."""
    report = yield
    if call.excinfo is not None and call.excinfo.value is item.stash.get(_FOUND, None) and report.failed:
        told = call.excinfo.getrepr(style="value")
        for note in getattr(call.excinfo.value, "__notes__", ()):
            told.addsection(_SECTION, note)
        report.longrepr = told
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Say how many scenarios left rules untested, and what all that ran shows of the programs."""
    bench = config.stash[_BENCH]
    if warned := bench.warned:
        terminalreporter.write_line(f"simplant: scenarios with rules not exercised or not decided: {warned} (see -rP)")
    if bench.coverage is not None:
        from simplant.cli.covering import write_coverage
        from simplant.cli.views.coverage import coverage_text

        terminalreporter.write_line(coverage_text(bench.coverage).rstrip())
        if bench.coverage_file:
            write_coverage(bench.coverage_file, bench.coverage)
