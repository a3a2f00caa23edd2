"""Both demo machines keep every contract: their parts with their own parameters, their programs, one trace."""

import pytest

from simplant.errors import PlantError, ProgramError
from simplant.testing import check_machine


@pytest.mark.slow
@pytest.mark.parametrize("name", ["comet_toss", "sump_pumps", "stamp_station"])
def test_demo_machines_keep_the_contracts(name):
    """Wild operators and every fault of the catalogue: it runs, and three ways of scanning give one trace."""
    assert check_machine(f"programs/{name}").name == name


IO = "tag,type,direction,address,device\ngo,BOOL,in,%IX0.0,button.contact\nlamp_cmd,BOOL,out,%QX0.0,lamp.on\n"
PLANT = '[machine]\ntitle = "a lamp"\n[parts.button]\npart = "push_button"\n[parts.lamp]\npart = "lamp"\n'
RACE = """
from simplant import Program

def build(tags):
    p = Program("racing", tags)
    p.rung(p.tags.lamp_cmd, p.tags.go & ~p.tags.lamp_cmd)
    return p
"""
COUNT = """
from simplant import Program

SEEN = []

def count(go):
    SEEN.append(go)
    return len(SEEN) % 3 == 0

def build(tags):
    p = Program("counting", tags)
    p.python(count, reads=[p.tags.go], writes=[p.tags.lamp_cmd])
    return p
"""


@pytest.mark.parametrize(
    ("logic", "error", "told"),
    [
        (RACE, ProgramError, "race: with inputs and time held, lamp_cmd repeat every 2 scans"),
        (COUNT, ProgramError, "compiled and walked differ in lamp_cmd"),
    ],
)
def test_a_bad_machine_is_refused(tmp_path, logic, error, told):
    """A race in its program; opaque Python that remembers behind the program's back."""
    for name, text in {"io.csv": IO, "machine.toml": PLANT, "logic.py": logic}.items():
        (tmp_path / name).write_text(text)
    with pytest.raises(error, match=told):
        check_machine(tmp_path)


PART = """
from simplant import Part

class Lamp(Part):
    INPUTS = {"on": False}
    OUTPUTS = {"lit": False, "looks": 0}
    LOOKS = []

    def command(self, now):
        if not self.LOOKS or self.LOOKS[-1] != (id(self), now):
            self.LOOKS.append((id(self), now))
        self.emit("lit", self.on("on"))
        self.emit("looks", 0)
"""
LAMP = """
from simplant import Program

def build(tags):
    p = Program("lamp", tags)
    p.rung(p.tags.lamp_cmd, p.tags.go)
    return p
"""


def test_a_part_that_remembers_for_all_machines_is_refused(tmp_path):
    """State outside the instance makes the second run another one."""
    part = PART.replace('self.emit("looks", 0)', 'self.emit("looks", len(self.LOOKS))')
    files = {
        "io.csv": IO,
        "machine.toml": PLANT.replace('part = "lamp"', 'part = "own.py:Lamp"'),
        "logic.py": LAMP,
        "own.py": part,
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text)
    with pytest.raises(PlantError, match="the same history gives other outputs"):
        check_machine(tmp_path)
