"""The panel in headless Chromium: it draws, takes keys, and no request of its page leaves this computer.

Skipped where Chromium or textual-serve is missing.
"""

import asyncio
import base64
import re
import shutil
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from simplant.scenario.memory_file import read_memory
from tests.panel.fountain import lay_out

ROOT = Path(__file__).parents[2]
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytest.importorskip("textual_serve", reason="textual-serve comes with the extra `panel`")
pytestmark = [pytest.mark.slow, pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed")]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("served")


@pytest.fixture(scope="module")
def served(folder):
    """Serve the fountain; give the address."""
    lay_out(folder)
    call = [sys.executable, "-u", "-m", "simplant", "panel", "fountain", "--browser", "--port", "0"]
    env = {"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"}
    server = subprocess.Popen(call, cwd=folder, env=env, stdout=subprocess.PIPE, text=True)
    yield re.search(r"http://127\.0\.0\.1:\d+", server.stdout.readline())[0]
    server.terminate()
    server.wait(timeout=30)
    server.stdout.close()


class Page:
    """One page of Chromium, driven by the protocol that it offers to debuggers."""

    def __init__(self, link):
        self.link, self.count, self.urls = link, 0, []

    async def ask(self, method, **parameters):
        self.count += 1
        await self.link.send_json({"id": self.count, "method": method, "params": parameters})
        while True:
            told = await self.next()
            if told.get("id") == self.count:
                return told["result"]

    async def next(self):
        """Take one message; note what the page asks for."""
        told = await self.link.receive_json(timeout=60)
        if told.get("method") == "Network.requestWillBeSent":
            self.urls.append(told["params"]["request"]["url"])
        if told.get("method") == "Network.webSocketCreated":
            self.urls.append(told["params"]["url"])
        return told

    async def wait_for(self, script):
        """Ask the page again and again until a script says true."""
        for _ in range(600):
            result = await self.ask("Runtime.evaluate", expression=script)
            if result["result"].get("value") is True:
                return
            await asyncio.sleep(0.05)
        raise AssertionError(script)

    async def press(self, key, code):
        given = {"key": key, "code": key, "windowsVirtualKeyCode": code, "text": key if len(key) == 1 else "\r"}
        await self.ask("Input.dispatchKeyEvent", type="keyDown", **given)
        await self.ask("Input.dispatchKeyEvent", type="keyUp", **given)


async def used(page, kept):
    """Start the fountain, wait until it has played, leave; give the picture."""
    await page.ask("Runtime.evaluate", expression="document.querySelector('.xterm-helper-textarea').focus()")
    while read_memory(kept, "fountain").get("plays") != 1:  # a press while the controller boots is in vain
        await page.press("Enter", 13)
        await asyncio.sleep(0.2)
    picture = (await page.ask("Page.captureScreenshot"))["data"]
    for key in ("q", "y", "Enter"):
        await page.press(key, 13 if key == "Enter" else ord(key.upper()))
    await page.wait_for("document.body.classList.contains('-closed')")
    return base64.b64decode(picture)


async def visit(browser, url, kept):
    """Open the panel in a browser, use it; give what the page asked for, and the picture."""
    import aiohttp

    port = next(m[1] for line in browser.stderr if (m := re.search(r"127\.0\.0\.1:(\d+)/devtools", line)))
    async with aiohttp.ClientSession() as web:
        pages = await (await web.get(f"http://127.0.0.1:{port}/json/list")).json()
        async with web.ws_connect(pages[0]["webSocketDebuggerUrl"]) as link:
            page = Page(link)
            await page.ask("Network.enable")
            await page.ask("Page.navigate", url=url)
            await page.wait_for("document.body.classList.contains('-first-byte')")
            return page.urls, await used(page, kept)


@pytest.fixture
def browser(tmp_path):
    options = ["--headless=new", "--no-sandbox", "--disable-gpu", "--remote-debugging-port=0", "--window-size=900,560"]
    call = [CHROMIUM, *options, f"--user-data-dir={tmp_path / 'user'}", "about:blank"]
    with subprocess.Popen(call, stderr=subprocess.PIPE, text=True) as process:
        yield process
        process.terminate()


def test_it_draws_takes_keys_and_asks_for_nothing_elsewhere(served, browser, folder):
    """A key in the browser starts the fountain once; page, script, style and socket come from 127.0.0.1 only."""
    kept = folder / "programs/fountain.memory.toml"
    urls, picture = asyncio.run(visit(browser, served, kept))
    hosts = {url.partition("://")[::2] for url in urls if not url.startswith("data:")}
    own = served.partition("://")[2]
    assert {(kind, rest.partition("/")[0]) for kind, rest in hosts} == {("http", own), ("ws", own)}
    assert len(picture) > 8_000
    assert read_memory(kept, "fountain") == {"plays": 1}


@pytest.mark.parametrize("headers", [{"Host": "elsewhere.example"}, {"Host": "127.0.0.1:1"}])
def test_pages_of_others_cannot_use_it(served, headers):
    """Whoever names another host gets nothing, and a socket without our own origin neither."""
    for path in ("/", "/ws"):
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(urllib.request.Request(served + path, headers=headers))
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(served + "/ws")
