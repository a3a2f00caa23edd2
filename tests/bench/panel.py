"""What the panel costs: opening it, drawing it at ten times the pace of the clock, and how soon it takes a key.

`python -m tests.bench.panel` prints a line of JSON; measures.py runs it in a process of its own, so that imports count.
Rule: the share of a core is process time against wall time, with comet_toss running and all panes of 120 by 40 seen.
"""

import asyncio
import importlib
import json
import time
from typing import Any

from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.rig.machine import Machine
from simplant.scenario.read import read_scenario

PACE, SIZE, LASTS, KEYS = 10.0, (120, 40), 5.0, 40


async def measure() -> dict[str, float]:
    """Open the panel and look on for some seconds."""
    begun = time.perf_counter()
    importlib.import_module("textual.app")
    imported = time.perf_counter()
    app = _app()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        opened = time.perf_counter()
        return {
            "importing Textual, s": imported - begun,
            "opening the panel, s": opened - imported,
            **await _looked_on(app),
            "slowest key, ms": max([await _key(app, "down" if n % 2 else "up") for n in range(KEYS)]) * 1e3,
        }


def _app() -> Any:
    """Make the panel, with a count of its pictures."""
    from simplant.panel.screen.app import PanelApp

    class Counted(PanelApp):
        pictures = 0

        def frame(self) -> None:
            self.pictures += 1
            super().frame()

    machine = Machine.load("programs/comet_toss")
    scenario = read_scenario(machine.scenario_folder() / "good_tour.toml")
    return Counted(View(Session(machine, scenario)), time.monotonic, pace=PACE)


async def _looked_on(app: Any) -> dict[str, float]:
    pictures, at = app.pictures, app.view.session.at
    wall, own = time.monotonic(), time.process_time()
    await asyncio.sleep(LASTS)
    took, used = time.monotonic() - wall, time.process_time() - own
    run = (app.view.session.at - at) / 1e9
    return {"share of a core": used / took, "pictures a second": (app.pictures - pictures) / took, "pace": run / took}


async def _key(app: Any, key: str) -> float:
    """Give how long a key takes until the cursor has moved."""
    from textual import events

    board = app.board
    before, begun = board.at, time.perf_counter()
    app.post_message(events.Key(key, None))
    while board.at == before:
        await asyncio.sleep(0)
    return time.perf_counter() - begun


if __name__ == "__main__":
    print(json.dumps(asyncio.run(measure())))
