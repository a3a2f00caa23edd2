"""A small machine with analogue points: every scan, sleeping, extra wakes and the plain walker make one trace.

A vat whose level is a ramp behind a 4-20 mA loop, with a noisy temperature and a speed that is an output. The law for
digital machines is test_comet_toss_sleeping.py. Rule: traces are compared as text, byte for byte.
"""

from random import Random

import pytest

from simplant.chance import draw
from simplant.faults import Fault
from simplant.rig.machine import Machine
from simplant.rig.rig import Rig
from simplant.scenario.model import Force, Power, Scenario
from simplant.timebase import Ns, ms, seconds
from tests.agree.twins import walked

FILES = {
    "io.csv": """\
tag,type,direction,address,device,range,scale,safe,cable
level_raw,INT,in,%IW0,probe.current,4-20mA,,,K1
spare_raw,INT,in,%IW1,probe.spare,4-20mA,,,K1
level_lost,BOOL,in,%IX8.0,level_raw.fault,,,,
temperature,REAL,in,%ID1,vat.temperature,0..120 degC,,,
speed,INT,out,%QW0,vat.speed,0-10V,0..1000,250,
horn,BOOL,out,%QX4.0,siren.on,,,,
""",
    "vat.py": '''\
"""A vat that fills as its pump turns, and a probe in it."""

from simplant import Part
from simplant.curves import Approach, Line, Scaled, Steady


class Vat(Part):
    """Fills by a tenth of the speed a second, and warms towards 60."""

    INPUTS = {"speed": 0.0}
    OUTPUTS = {"level": Steady(0.2), "temperature": Steady(20.0)}

    def begin(self, now):
        self.speed = None

    def command(self, now):
        speed = self.number("speed")
        if speed != self.speed:
            self.speed = speed
            self.emit("level", Line(now, self.outputs["level"].at(now), (speed - 4.0) * 0.01))
            self.emit("temperature", Approach(now, self.outputs["temperature"].at(now), 60.0, 5.0))


class Probe(Part):
    """4 to 20 mA for 0 to 1."""

    INPUTS = {"level": Steady(0.2)}
    OUTPUTS = {"current": Steady(4.0), "spare": Steady(8.0)}

    def command(self, now):
        self.emit("current", Scaled(self.curve("level"), 16.0, 4.0, 3.8, 20.5))
''',
    "machine.toml": """\
[machine]
title = "A vat"
[controller]
period = "10ms"
execution = "1ms"
start_jitter = "2ms"
boot = "50ms"
[parts.vat]
part = "vat.py:Vat"
[parts.probe]
part = "vat.py:Probe"
level = "vat.level"
[parts.siren]
part = "lamp"
[points.temperature]
noise = NOISE
resolution = 0.5
""",
    "logic.py": """\
from simplant import INT, REAL, Program, ms
from simplant.expr import to_type


def build(tags):
    p = Program("vat", tags)
    t = p.tags
    level = p.memory("percent", REAL)
    p.move(level.becomes(to_type(t.level_raw, REAL) / 100.0))
    hot = p.ton("hot", t.temperature > 40.0, ms(300))
    p.move(t.speed.becomes(700), when=(level < 30.0) & ~hot.Q)
    p.move(t.speed.becomes(100), when=(level > 35.0) | hot.Q)
    p.rung(t.horn, t.level_lost | (t.spare_raw < 2400))
    return p
""",
}


@pytest.fixture(scope="module", params=["0.0", "0.4"], ids=["quiet", "noisy"])
def vat(request, tmp_path_factory):
    """The machine, without and with noise."""
    folder = tmp_path_factory.mktemp("programs") / "vat"
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text.replace("NOISE", request.param), encoding="utf-8")
    return Machine.load(folder)


def day(seed, machine):
    """Some faults, a force and a power cut, at any instant."""
    random = Random(seed)
    entries = [entry for entry in machine.catalogue if entry.target != "main"]
    faults = tuple(
        entry.fault(Ns(random.randrange(seconds(9))), Ns(random.randrange(1, seconds(3))))
        for entry in random.sample(entries, 4)
        if not entry.other
    )
    swap = (Fault("level_raw", "swapped", seconds(6), seconds(1), other="spare_raw"),)
    return Scenario(
        "vat", seed=seed, length=seconds(9), faults=faults + swap,
        forces=(Force(Ns(random.randrange(seconds(9))), "level_raw", 2900, ms(400)),),
        power=(Power(Ns(random.randrange(seconds(9))), duration=ms(300)),),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(3))
def test_analogue_points_let_a_machine_sleep_unseen(vat, seed):
    """Every scan, sleeping, sleeping with random extra wakes, and walked: the same trace."""
    scenario = day(seed, vat)
    every = Rig(vat, scenario, every_scan=True).run().trace.text()
    assert Rig(vat, scenario).run().trace.text() == every
    assert Rig(vat, scenario, extra_wakes=lambda task, k: draw(seed, task, k) < 0.2).run().trace.text() == every
    assert Rig(walked(vat), scenario).run().trace.text() == every


def test_a_machine_at_rest_sleeps(vat):
    """Without noise, slow curves leave most scans out; with it, a scan for each reading that changed."""
    rig = Rig(vat, Scenario("vat", length=seconds(60))).run()
    readings = len({t for t, name, _ in rig.trace if name in ("level_raw", "temperature")})
    ran, _ = rig.main.counts(seconds(60))
    assert ran <= readings + 40


def test_numbers_begin_as_numbers_and_stop_at_their_safe_ones(vat):
    """Before power-up and while the controller has none, inputs read 0 and the output drives its safe number."""
    rig = Rig(vat, Scenario("vat", length=seconds(2), power=(Power(seconds(1), duration=ms(200)),))).run()
    rows = [(t // ms(1), value) for t, name, value in rig.trace if name == "speed"]
    assert [value for _, value in rows] == [250, 700, 250, 700]
    assert all(type(value) is int for _, value in rows)
    assert [t for t, _ in rows][2] == 1000
    assert rig.world.parts["vat"].inputs["speed"] == 7.0
