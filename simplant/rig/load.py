"""Running a machine's own Python files: logic, rules, parts of one's own.

They are the user's programs, run as such and once per load. Rule: whatever they raise becomes an
error that names the file, the line and the call that was wanted.
"""

import sys
from collections.abc import Callable
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from traceback import extract_tb
from types import ModuleType
from typing import Any

from simplant.errors import Place, ProgramError, SimplantError, nearest
from simplant.files import shown
from simplant.place import OF_A_MACHINE


def load_module(path: Path) -> ModuleType:
    """Run a Python file of a machine and give it as a module.

    Raises:
        ProgramError: it is not there or raised.
    """
    name = f"{OF_A_MACHINE}{path.parent.name}_{path.stem}"
    if not path.is_file():
        beside = [p.name for p in path.parent.glob("*.py")]
        raise ProgramError(f"there is no file {shown(path)}", mend=nearest(path.name, beside))
    loader = SourceFileLoader(name, shown(path))  # so its code, and each place in it, bears the name that people see
    spec = spec_from_loader(name, loader)
    assert spec is not None, "a source file can always be loaded"
    module = module_from_spec(spec)
    sys.modules[name] = module
    _guarded(lambda: loader.exec_module(module), path)
    return module


def call(path: Path, function: str, *arguments: object) -> Any:
    """Load a file and call one of its functions; raises `ProgramError` if it has none or it raises."""
    module = load_module(path)
    found = getattr(module, function, None)
    if not callable(found):
        raise ProgramError(
            f"it has no function {function}()", mend=f"write def {function}(...) in it", place=Place(shown(path))
        )
    return _guarded(lambda: found(*arguments), path)


def _guarded(action: Callable[[], Any], path: Path) -> Any:
    try:
        return action()
    except SimplantError as error:
        if error.place is not None:
            raise
        raise type(error)(error.what, error.why, error.mend, _place(error, path)) from error
    except SyntaxError as error:
        place = Place(shown(path), error.lineno or 0, error.offset or 0)
        raise ProgramError(f"{error.msg}", "Python cannot read the file", place=place) from error
    except Exception as error:
        raise ProgramError(f"it raised {type(error).__name__}: {error}", place=_place(error, path)) from error


def _place(error: Exception, path: Path) -> Place:
    """Give the last line of the user's file that led to an error."""
    lines = [f.lineno for f in extract_tb(error.__traceback__) if Path(f.filename).resolve() == path.resolve()]
    return Place(shown(path), (lines[-1] or 0) if lines else 0)
