"""A new machine's program as Structured Text: no Python in its folder.

Saying it is logic/convert/. Rule: the machine is the same in all else, and is tried like any other before it is put in
its place.
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from simplant.logic.convert.faces import of_python
from simplant.logic.convert.programs import converted
from simplant.logic.convert.remarks import Remarks
from simplant.rig.machine import Machine
from simplant.starter.place import Files


def in_text(files: Files, name: str) -> Files:
    """Give the files of a new machine with `logic.st` in place of `logic.py`."""
    python, plant = f"programs/{name}/logic.py", f"programs/{name}/machine.toml"
    with TemporaryDirectory() as aside:
        for path, text in files.items():
            (Path(aside) / path).parent.mkdir(parents=True, exist_ok=True)
            (Path(aside) / path).write_text(text, encoding="utf-8")
        machine = Machine.load(Path(aside) / "programs" / name)
        said = converted(machine.program, title=machine.title, remarks=Remarks(python, _without_hints(files[python])))
        text = of_python(said, "st", "logic.py", machine.io.tags)
    others = {path: text for path, text in files.items() if path != python}
    others[plant] = others[plant].replace("[machine]\n", '[machine]\nlogic = "logic.st"\n', 1)
    return {**others, python.replace(".py", ".st"): text}


def _without_hints(text: str) -> str:
    """Take out what is said of Python's own marks."""
    return text.replace(" `&` is AND, `|` is OR, `~` is NOT; the first line runs first.", "").replace(
        "`&` is AND, `|` is OR, `~` is NOT; what is written first runs first.\n", "What is written first runs first.\n"
    )
