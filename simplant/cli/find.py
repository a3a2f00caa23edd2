"""Finding what a user names: scenarios by name or file, and the files in folders of them.

Rule: a name that is not found is answered with the nearest that is there.
"""

from pathlib import Path

from simplant.errors import ScenarioError, UsageError, nearest
from simplant.rig.machine import Machine
from simplant.scenario.model import Scenario
from simplant.scenario.read import read_scenario


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


def scenario_files(paths: list[str]) -> list[Path]:
    """Give all scenario files under some paths, sorted; raises `UsageError` if there is none."""
    found: dict[Path, None] = {}
    for text in paths:
        path = Path(text)
        if path.is_dir():
            found.update((p, None) for p in sorted(path.rglob("*.toml")))
        elif path.is_file():
            found[path] = None
        else:
            raise UsageError(f"there is no file or folder {text}", mend="name scenario files or folders of them")
    if not found:
        raise UsageError(f"no scenario under {', '.join(paths)}", "a scenario is a .toml file")
    return list(found)
