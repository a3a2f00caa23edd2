"""The pictures of the README that are made by a program: the operator panel in a terminal, a report in a browser.

`python -m tests.docs.pictures` writes them anew, that of the report where Chromium is installed. Rule: a picture is
small, fetches nothing, and is made of a run that anybody can repeat.
"""

import asyncio
import re
import shutil
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

from simplant.panel.session import Session
from simplant.panel.view import View
from simplant.report.page import page
from simplant.report.shown import show_file
from simplant.rig.machine import Machine
from simplant.scenario.read import read_scenario
from simplant.timebase import Ns, ms, seconds
from tests.docs.markdown import ROOT

PANEL = ROOT / "programs" / "comet_toss" / "panel.svg"
REPORT = ROOT / "programs" / "comet_toss" / "report.png"
SIZE = (124, 34)


def panel_svg() -> str:
    """Give the panel of comet_toss as a ball leaves, with a wire cut that nobody notices."""
    machine = Machine.load(ROOT / "programs" / "comet_toss")
    session = Session(machine, read_scenario(machine.scenario_folder() / "good_calls.toml"))
    session.advance(seconds(21))
    session.fault(next(e for e in machine.catalogue if str(e) == "table_at_left.open_wire"), on=True)
    while session.rig.value("cycle") != "toss":
        session.step()
    session.advance(Ns(session.at + ms(500)))
    return asyncio.run(_svg(View(session)))


async def _svg(view: View) -> str:
    from simplant.panel.screen.app import PanelApp

    app = PanelApp(view, lambda: 0.0)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press("5")
        await pilot.pause()
        return plain(app.export_screenshot())


def plain(svg: str) -> str:
    """Take out of an exported picture what is fetched, what changes from run to run, and what is not needed."""
    svg = re.sub(r"@font-face \{.*?\}", "", svg, flags=re.DOTALL)
    svg = re.sub(r"terminal-\d+", "t", svg).replace("Fira Code", "DejaVu Sans Mono, Menlo, Consolas")
    svg = re.sub(r'<clipPath id="t-line-.*?</clipPath>', "", svg, flags=re.DOTALL)
    svg = re.sub(r' clip-path="url\(#t-line-\d+\)"', "", svg)
    svg = re.sub(r"<!--.*?-->|<circle[^>]*/>", "", svg, flags=re.DOTALL)
    return re.sub(r"\s*\n\s*", "\n", svg)


def report_png(chromium: str) -> bytes:
    """Give the first screen of the report of an emergency stop in mid-swing."""
    scenario = ROOT / "scenarios" / "comet_toss" / "estop_mid_swing.toml"
    with TemporaryDirectory() as folder:
        file, shot = Path(folder) / "report.html", Path(folder) / "report.png"
        file.write_text(page([show_file(scenario, {})]), encoding="utf-8")
        options = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=1000,1150"]
        command = [chromium, *options, f"--screenshot={shot}", file.as_uri()]
        subprocess.run(command, check=True, stderr=subprocess.DEVNULL, timeout=120)
        return shot.read_bytes()


if __name__ == "__main__":
    if chromium := shutil.which("chromium") or shutil.which("chromium-browser"):
        REPORT.write_bytes(report_png(chromium))
    Path(PANEL).write_text(panel_svg(), encoding="utf-8", newline="\n")
