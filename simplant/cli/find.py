"""Finding what a user names: machines, scenarios by name or file, the files in folders of them, points to draw.

Rule: a name that is not found is answered with the nearest that is there.
"""

from collections.abc import Sequence
from pathlib import Path

from simplant.campaign.failures import everyday
from simplant.errors import ScenarioError, UsageError, nearest
from simplant.rig.blueprint import blueprint_of
from simplant.rig.machine import Machine
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario


def find_folder(named: str) -> Path:
    """Give the folder of a machine that is named by it, or by its bare name under `programs/`.

    Raises:
        UsageError: there is none such.
    """
    folder, below = Path(named), Path("programs") / named
    if folder.is_dir() or folder.name != named:
        return folder
    if not below.is_dir():
        there = [path.parent.name for path in below.parent.glob("*/machine.toml")]
        mend = nearest(named, there) if there else "go to the folder that holds programs, or write one: simplant new"
        raise UsageError(f"there is no machine {named!r} here or under programs", mend=mend)
    return below


def find_machine(named: str) -> Machine:
    """Read a machine by its folder, or by its bare name; raises `SimplantError` if something in its files is wrong."""
    return Machine.load(find_folder(named))


def find_points(machine: Machine, named: str) -> list[str]:
    """Give the names, separated by commas, of what a trace shows; raises `UsageError` if it does not show one."""
    names = blueprint_of(machine, tuple(machine.rules), ()).names
    shown = [name for name, loud in zip(names.names, names.loud, strict=True) if loud]
    wanted = [name.strip() for name in named.split(",") if name.strip()]
    for name in (name for name in wanted if name not in shown):
        if name not in machine.truths:
            raise UsageError(f"there is no point {name!r} to show", mend=nearest(name, shown))
        beside = [other for other in shown if other.partition(".")[0] == name.partition(".")[0]]
        what = f"{name} cannot be drawn: it is a number that may move all the time"
        raise UsageError(what, "the chart draws what the trace holds", nearest(name, beside or shown))
    return wanted


def find_scenario(machine: Machine, named: str | None) -> Scenario:
    """Give a scenario by file or by name; without a name the machine's default, or an empty one.

    Raises:
        ScenarioError: there is none of that name, or it is for another machine.
    """
    named = named or machine.file.machine.scenario
    if not named:
        return Scenario(machine.name)
    path = Path(named)
    if path.suffix != ".toml":
        path = machine.scenario_folder() / f"{named}.toml"
        if not path.is_file():
            there = [p.stem for p in machine.scenario_folder().glob("*.toml")]
            raise ScenarioError(f"{machine.name} has no scenario {named!r}", mend=nearest(named, there))
    scenario = read_scenario(path)
    if scenario.machine != machine.name:
        raise ScenarioError(
            f"{path} is a scenario of {scenario.machine!r}, not of {machine.name!r}", mend="name the other machine"
        )
    return scenario


def find_ways(machine: Machine, named: Sequence[str] | None) -> list[tuple[str, Scenario]]:
    """Give scenarios as ways of using a machine, by name or file; without names its everyday ones."""
    return [(name, find_scenario(machine, name)) for name in dict.fromkeys(named)] if named else everyday(machine)


def scenario_files(paths: list[str]) -> list[Path]:
    """Give all scenario files under some paths, sorted; raises `UsageError` if there is none.

    A bare name that is neither file nor folder is looked up under `scenarios/`.
    """
    found: dict[Path, None] = {}
    for text in paths:
        path = Path(text)
        if not path.exists() and path.name == text:
            path = Path("scenarios") / text
        if path.is_dir():
            found.update((p, None) for p in sorted(path.rglob("*.toml")))
        elif path.is_file():
            found[path] = None
        else:
            raise UsageError(f"there is no file or folder {text}", mend="name scenario files or folders of them")
    if not found:
        raise UsageError(f"no scenario under {', '.join(paths)}", "a scenario is a .toml file")
    return list(found)
