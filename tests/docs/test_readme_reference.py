"""The README's reference is whole and current: every name, option, key, terminal; every link leads somewhere."""

import re

import msgspec
import pytest

import simplant
import simplant.rules
import simplant.testing
from simplant.rig.machine_file import ControllerTable, MachineFile, MachineTable, PanelTable
from simplant.rig.rule_kinds import LABELS
from simplant.rules.hazards import COLUMNS as HAZARD_COLUMNS
from simplant.scenario.model import OPPOSITES
from simplant.scenario.schema import (
    ExpectTable,
    FaultTable,
    ForceTable,
    PowerTable,
    ScenarioTable,
    StateTable,
    StimulusTable,
    WriteTable,
)
from simplant.wiring.io_file import COLUMNS
from tests.docs.markdown import DEVELOPERS, README, ROOT, headings, links, section
from tests.docs.reference import meaning, renewed, subcommands

SCENARIO = (
    ScenarioTable, StimulusTable, FaultTable, ForceTable, WriteTable, PowerTable, ExpectTable, StateTable,
)  # fmt: skip


def test_made_pieces_are_current():
    """What is made from the code is as the code has it; `python -m tests.docs.reference` renews it."""
    text = README.read_text(encoding="utf-8")
    assert renewed(text) == text, "run: python -m tests.docs.reference"


@pytest.mark.parametrize("module", [simplant, simplant.rules, simplant.testing], ids=lambda m: m.__name__)
def test_public_names_say_what_they_are(module):
    """Each public name stands in the reference, and has a docstring (the elementary types one in common)."""
    page = section(README, f"Names of {module.__name__}")
    shown = set(re.findall(r"\w+", " ".join(re.findall(r"^\| `([^`]*)`", page, flags=re.MULTILINE))))
    assert [n for n in module.__all__ if n not in shown] == []
    kinds = simplant.values.ElementaryType
    assert [n for n in module.__all__ if not isinstance(getattr(module, n), kinds) and not meaning(module, n)] == []


def test_every_option_is_there():
    """Each command and each of its options stands in the reference."""
    page = section(README, "Commands")
    wanted = [f"simplant {name}" for name in subcommands()]
    wanted += [word for sub in subcommands().values() for a in sub._actions for word in a.option_strings[-1:]]
    assert [w for w in wanted if w not in page and w != "--help"] == []


@pytest.mark.parametrize(
    ("title", "keys"),
    [
        (
            "machine.toml",
            [k for t in (MachineFile, MachineTable, ControllerTable, PanelTable) for k in t.__struct_encode_fields__],
        ),
        ("io.csv", list(COLUMNS)),
        ("Scenario files", [f.encode_name for t in SCENARIO for f in msgspec.structs.fields(t)] + list(OPPOSITES)),
        ("hazards.csv", list(HAZARD_COLUMNS)),
        ("rules.toml", ["let", "rule", "kind", *LABELS]),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_every_key_is_there(title, keys):
    """Each key that a file may have stands in its section of the reference."""
    page = section(README, title)
    code = set(re.findall(r"[\w.]+", " ".join(re.findall(r"`([^`]+)`", page))))
    tables = {"controllers": "controllers.NAME", "parts": "parts.NAME", "points": "points.TAG"}
    assert [k for k in keys if tables.get(k, k) not in code] == []


@pytest.mark.parametrize(
    "page", [README, DEVELOPERS, ROOT / "tests" / "README.md"], ids=["readme", "developers", "tests"]
)
def test_links_lead_somewhere(page):
    """Each link of a page is a heading of it, or a file that is there; no link leaves the repository."""
    lost = []
    for target in links(page):
        file, _, anchor = target.partition("#")
        goal = (page.parent / file) if file else page
        if "://" in target or not goal.exists() or (anchor and anchor not in headings(goal)):
            lost.append(target)
    assert lost == []


def test_docs_name_only_what_is_there():
    """Each path in backticks that begins at the root of the repository is there (`NAME` stands for any)."""
    text = "".join(p.read_text(encoding="utf-8") for p in (README, DEVELOPERS))
    made = [f"{folder}/{machine}" for folder in ("programs", "scenarios") for machine in ("wind_tube", "badge_press")]
    own = (*made, "tests/test_wind_tube.py", "tests/test_any_story.py")
    paths = set(re.findall(r"`((?:simplant|tests|programs|scenarios|\.ci)/[\w./]*)`", text))
    assert sorted(p for p in paths if not (ROOT / p).exists() and "NAME" not in p and not p.startswith(own)) == []
