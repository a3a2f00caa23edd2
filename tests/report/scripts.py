"""The page's scripts run by node, so that what is shipped is what is tested; skipped where node is missing."""

import json
import shutil
import subprocess

import pytest

from simplant.report.svg import asset

NODE = shutil.which("node")
needs_node = pytest.mark.skipif(NODE is None, reason="node is not installed")
FILES = ("data.js", "columns.js", "draw.js", "scale.js")


def node(body, given):
    """Run the shipped scripts, then `body`, which turns `given` into `result`; give the result."""
    script = "".join(map(asset, FILES))
    reading = 'const given = JSON.parse(require("fs").readFileSync(0, "utf-8"));\n'
    whole = f"{script}\n{reading}{body}\nconsole.log(JSON.stringify(result));\n"
    done = subprocess.run(
        [NODE, "-e", whole], input=json.dumps(given), capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
