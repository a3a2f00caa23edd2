"""A small machine with a bit of everything that a panel shows: a fountain with a pump, a basin, two lamps, a switch."""

from pathlib import Path

FILES = {
    "programs/fountain/io.csv": """\
tag,type,direction,address,device,contact,supply,filter,safe,description
start_pressed,BOOL,in,%IX0.0,start.contact,NO,supply24,3ms,,start button
stop_released,BOOL,in,%IX0.1,stop.contact,NC,supply24,3ms,,stop button is not pressed
basin_full,BOOL,in,%IX0.2,float.wet,NO,supply24,3ms,,water is above the float
evening,BOOL,in,%IX0.3,season.bit_0,NO,supply24,3ms,,selector: evening
pump_cmd,BOOL,out,%QX0.0,contactor.coil,,supply24,,0,pump contactor
lamp_run,BOOL,out,%QX0.1,lamp.on,,supply24,,0,green: it plays
lamp_dry,BOOL,out,%QX0.2,alarm_lamp.on,,supply24,,0,yellow: too little water
""",
    "programs/fountain/machine.toml": """\
[machine]
title = "A fountain that plays for a while"
rules = "rules.toml"
scenario = "play"
panel = ["wanted"]

[controller]
period = "10ms"
execution = "1ms"
boot = "500ms"
supply = "supply24.healthy"

[panel]
colours = { start = "white", stop = "black" }
positions = { season = ["day", "evening"] }
shows = { "plays" = "plays", "level m" = "basin.level" }
messages = { "the fountain plays" = "pump_cmd" }

[parts]
supply24 = { part = "supply" }
start = { part = "push_button" }
stop = { part = "push_button" }
season = { part = "selector", positions = 2 }
lamp = { part = "lamp" }
alarm_lamp = { part = "lamp" }
contactor = { part = "contactor", coil_volts = "supply24.volts", line = "supply24.volts" }
basin = { part = "tank", depth = 1.0, start_level = 0.8, outflow = "pump.flow" }
float = { part = "float_switch", level = "basin.level", level_on = 0.6 }
pump = { part = "pump", run = "contactor.closed", volts = "contactor.out", level = "basin.level", rated_flow = 0.05 }
""",
    "programs/fountain/rules.toml": """\
[[rule]]
name = "never dry"
kind = "always"
claim = "basin.level > 0.2"
scale = 1.0
unit = "m"

[[rule]]
name = "longest play"
kind = "output_at_most"
output = "pump_cmd"
most = "10s"
""",
    "programs/fountain/logic.py": '''\
"""Play for a few seconds when asked; stop when the water is low."""

from simplant import INT, Alarm, Program, Step, constant, go, ms, seconds, select
from simplant.values import TIME


def build(tags):
    p = Program("fountain", tags)
    t = p.tags
    wanted = p.memory("wanted", INT, initial=4, description="seconds to play")
    plays = p.memory("plays", INT, retain=True)
    start = p.rising("start_edge", t.start_pressed)
    rest = Step("rest", description="press start")
    cycle = p.sequence("cycle", [rest, Step("play", entry=[plays.becomes(plays + 1)])])
    low = p.ton("low", ~t.basin_full, ms(200))
    alarms = p.alarms("alarm", reset=start, rows=[Alarm("dry", low.Q, "too little water", "fill the basin")])
    cycle.transitions([
        go("play", "rest", ~t.stop_released | alarms.any),
        go("rest", "play", start & t.stop_released & ~alarms.any),
        go("play", "rest", cycle.time >= select(wanted > 3, constant(seconds(2), TIME), constant(seconds(4), TIME))),
    ])
    p.rung(t.pump_cmd, cycle["play"])
    p.rung(t.lamp_run, t.pump_cmd | (t.start_pressed & t.evening))
    p.rung(t.lamp_dry, alarms.any)
    return p
''',
    "scenarios/fountain/play.toml": """\
machine = "fountain"
title = "Somebody starts it"
length = "8s"
stimulus = [{ at = "1s", on = "start", do = "press", for = "200ms" }]
""",
}


def lay_out(folder: Path) -> Path:
    """Write the machine under a folder; give its own folder."""
    for name, text in FILES.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder / "programs" / "fountain"
