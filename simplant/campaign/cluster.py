"""Runs on an existing Dask cluster: the machine's files go along, and answers come back in the order of the questions.

Runs on this computer's own cores are pool.py. Rule: a worker answers only with the same simplant and the same machine,
so an answer is the same wherever it was found. Whoever can reach a cluster can run programs on it: keep it shut.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any, Final, TypeVar

from simplant.campaign.store import house
from simplant.errors import UsageError
from simplant.rig.machine import Machine

WINDOW: Final = 2_000
"""So many questions are with the cluster at a time."""
_PATIENCE: Final = "5s"

Question = TypeVar("Question")
Answer = TypeVar("Answer")
Files = tuple[tuple[str, bytes], ...]


def each_on(
    address: str, ask: Callable[[Machine, Question], Answer], machine: Machine, questions: Sequence[Question]
) -> Iterator[Answer]:
    """Answer questions about a machine on a cluster, in their order.

    Args:
        address: of its scheduler: `tcp://host:port`.
        ask: a function of a module, pure.
        machine: its files are sent once.
        questions: values.

    Raises:
        UsageError: there is no cluster, its workers have another simplant, or they die.
    """
    client = _client(address)
    try:
        others = [worker for worker, theirs in client.run(house).items() if theirs != house()]
        if others:
            raise UsageError(
                f"{others[0]} of the cluster {address} has another simplant",
                "answers must not depend on where they are found", "install the same version on every worker",
            )  # fmt: skip
        files = client.scatter(_files(machine), broadcast=True)
        for first in range(0, len(questions), WINDOW):
            asked = questions[first : first + WINDOW]
            futures = client.map(_there, asked, ask=ask, digest=machine.digest, files=files, pure=False)
            yield from _results(futures, address)
    finally:
        client.close()


def _client(address: str) -> Any:
    try:
        from distributed import Client  # late: it is an extra, and takes a second
    except ImportError:
        raise UsageError(
            "campaigns on a cluster need the package distributed", mend='pip install "simplant[cluster]"'
        ) from None
    try:
        return Client(address, timeout=_PATIENCE)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        raise UsageError(
            f"there is no cluster at {address}", str(error), "start a scheduler, and give its address: tcp://host:8786"
        ) from None


def _results(futures: Sequence[Any], address: str) -> Iterator[Any]:
    from distributed import KilledWorker  # as above

    try:
        for future in futures:
            yield future.result()
    except KilledWorker as error:
        raise UsageError(
            f"workers of the cluster {address} died again and again", str(error),
            "see whether they have memory enough; what was answered is kept",
        ) from None  # fmt: skip


def _files(machine: Machine) -> Files:
    """Give the files of a machine's folder, and of the folder it is a variant of, by their names beside each other."""
    root = machine.folder.resolve().parent
    folders = [root / machine.name, *(Path(folder).resolve() for folder in getattr(machine, "folders", ()))]
    return tuple(
        (path.relative_to(root).as_posix(), path.read_bytes())
        for folder in dict.fromkeys(folders)
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    )


def _there(question: Question, ask: Callable[[Machine, Question], Answer], digest: str, files: Files) -> Answer:
    return ask(_machine(digest, files), question)


@cache
def _machine(digest: str, files: Files) -> Machine:
    """Lay the files out on a worker, once."""
    root = Path(mkdtemp(prefix="simplant-")) / "programs"
    for name, content in files:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    machine = Machine.load(root / Path(files[0][0]).parts[0])
    if machine.digest != digest:
        raise UsageError(f"the files of {machine.name} did not reach the cluster whole", mend="start again")
    return machine
