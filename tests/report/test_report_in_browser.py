"""The page as a person uses it, in headless Chromium: keys, mouse, table, no errors, nothing fetched.

Skipped cleanly where Chromium is missing.
"""

import html
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from simplant.report.page import page
from simplant.report.shown import show_file

ROOT = Path(__file__).parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

pytestmark = [pytest.mark.slow, pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed")]

TRIAL = """
const errors = [];
addEventListener("error", (event) => errors.push(event.message));
addEventListener("securitypolicyviolation", (event) => errors.push(event.violatedDirective));
(async () => {
  const log = {}, chart = document.querySelector(".timing").chart, plot = chart.plot;
  const wait = () => new Promise((done) => setTimeout(() => { chart.drawNow(); done(); }, 1));
  const key = async (name, shiftKey = false) => {
    plot.dispatchEvent(new KeyboardEvent("keydown", { key: name, shiftKey, bubbles: true, cancelable: true }));
    await wait();
  };
  const seen = () => [chart.first / 1e9, chart.last / 1e9];
  plot.setPointerCapture = () => {};
  const at = (kind, x, more = {}) => plot.dispatchEvent(new PointerEvent(kind,
    { pointerId: 1, clientX: plot.getBoundingClientRect().left + x, clientY: 200, bubbles: true, ...more }));
  try {
    await wait();
    log.focus = plot.tabIndex === 0;
    await key("+");
    log.zoomed = seen();
    await key("ArrowRight");
    log.moved = seen();
    await key("Home");
    log.home = seen();
    await key("0");
    await key("a");
    await key("ArrowDown");
    log.chosen = chart.placed[chart.chosen].course.name;
    await key("p");
    log.back = chart.cursors.A / 1e9;
    await key("b");
    await key("n");
    log.ahead = chart.cursors.B / 1e9;
    log.readout = chart.readout.textContent;
    await key("Escape");
    log.cleared = [chart.cursors.A, chart.cursors.B];
    const x = chart.box.left + chart.box.width / 2;
    at("pointerdown", x); at("pointerup", x);
    await wait();
    log.clicked = Math.round(chart.cursors.A / 1e9);
    plot.dispatchEvent(new WheelEvent("wheel", { deltaY: -100, ctrlKey: true, bubbles: true, cancelable: true,
      clientX: plot.getBoundingClientRect().left + chart.box.left + chart.box.width / 2 }));
    await wait();
    log.wheeled = chart.last - chart.first < 60e9;
    const before = chart.first;
    at("pointerdown", 500); at("pointermove", 480); at("pointermove", 450); at("pointerup", 450);
    await wait();
    log.dragged = chart.first > before;
    const plain = new WheelEvent("wheel", { deltaY: 100, bubbles: true, cancelable: true });
    plot.dispatchEvent(plain);
    log.scrolls = !plain.defaultPrevented;
    const table = chart.root.querySelector(".changes");
    table.open = true;
    await wait();
    log.table = table.querySelectorAll("tbody tr").length > 0;
    const rows = chart.placed.length;
    chart.root.querySelector(".offers input").click();
    await wait();
    log.fewer = rows - chart.placed.length;
    log.wide = document.documentElement.scrollWidth <= innerWidth;
  } catch (error) {
    errors.push(String(error.stack));
  }
  const out = document.createElement("pre");
  out.id = "out";
  out.textContent = JSON.stringify({ log, errors, fetched: performance.getEntriesByType("resource").length });
  document.body.append(out);
})();
"""


@pytest.fixture(scope="module")
def text():
    return page([show_file(ROOT / "scenarios/comet_toss/good_calls.toml", {})])


def tried(text, folder, width):
    """Open the page, run the trial in it, give what it found."""
    path = folder / "page.html"
    path.write_text(text.replace("</body>", f"<script>{TRIAL}</script></body>"), encoding="utf-8")
    options = ["--headless=new", "--no-sandbox", "--disable-gpu", f"--window-size={width},900", "--dump-dom"]
    call = [CHROMIUM, *options, "--virtual-time-budget=5000", f"--user-data-dir={folder / 'user'}", path.as_uri()]
    done = subprocess.run(call, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False)
    found = re.search(r'<pre id="out">(.*?)</pre>', done.stdout, re.DOTALL)
    assert found, done.stderr[-2000:]
    return json.loads(html.unescape(found[1]))


@pytest.mark.parametrize("width", [1200, 520])
def test_the_chart_is_used_by_keys_and_mouse(text, tmp_path, width):
    """Zoom, move, choose, cursors and their difference, click, drag, wheel, table, rows; no error, nothing fetched."""
    told = tried(text, tmp_path, width)
    assert told["errors"] == []
    assert told["fetched"] == 0
    assert told["log"] == {
        "focus": True,
        "zoomed": [15, 45],
        "moved": [18, 48],
        "home": [0, 30],
        "chosen": "estop_healthy",
        "back": 3.03,
        "ahead": 30,
        "readout": told["log"]["readout"],
        "cleared": [None, None],
        "clicked": 30,
        "wheeled": True,
        "dragged": True,
        "scrolls": True,
        "table": True,
        "fewer": 1,
        "wide": True,
    }
    assert "A 3.030 s   B 30.000 s   B \N{MINUS SIGN} A = 26.970 s   estop_healthy = 1" in told["log"]["readout"]
