"""The panel in a browser on this computer: the same program, served by textual-serve.

Rule: it listens on 127.0.0.1 only, its page asks for nothing elsewhere, and pages of other origins cannot use it.
"""

import os
import shlex
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from socket import AF_INET, SOCK_STREAM, socket
from typing import Final

from simplant.errors import UsageError

HOST: Final = "127.0.0.1"


def is_served() -> bool:
    """Say whether this process draws for a browser."""
    return "WebDriver" in os.environ.get("TEXTUAL_DRIVER", "")


def serve(words: Sequence[str], port: int, tell: Callable[[str], None]) -> None:
    """Serve `simplant WORDS` until somebody ends it.

    Args:
        words: the command without the program.
        port: where; 0 = any that is free.
        tell: told the address.

    Raises:
        UsageError: the port is taken.
        ImportError: textual-serve is not installed.
    """
    from aiohttp import web  # noqa: PLC0415 - an optional extra
    from textual_serve.server import Server  # noqa: PLC0415 - likewise

    class Local(Server):
        """The server, without its banner, and closed to pages of others."""

        async def on_startup(self, app: web.Application) -> None:
            """Say nothing: the address is told where the port is opened."""

        async def handle_index(self, request: web.Request) -> web.Response:
            """Give the page, to whoever asked for this very host."""
            self._refuse_others(request.headers.get("Host", ""))
            response: web.Response = await super().handle_index(request)  # type: ignore[assignment]  # made by jinja
            return response

        async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
            """Begin a session, for our own page only."""
            self._refuse_others(request.headers.get("Host", ""))
            self._refuse_others(request.headers.get("Origin", "").partition("://")[2])
            return await super().handle_websocket(request)

        def _refuse_others(self, host: str) -> None:
            if host != self.public_url.partition("://")[2]:
                raise web.HTTPForbidden(text="this panel is for the page it serves itself")

    command = [sys.executable, "-m", "simplant", *words]
    text = subprocess.list2cmdline(command) if os.name == "nt" else shlex.join(command)
    with _listening(port) as door:
        folder = str(Path(__file__).with_name("web"))
        server = Local(text, host=HOST, port=door.getsockname()[1], title="simplant panel", templates_path=folder)
        tell(server.public_url)
        web.run_app(server._make_app(), sock=door, print=None)


def _listening(port: int) -> socket:
    """Open the port, so that whoever is told the address is heard at once."""
    door = socket(AF_INET, SOCK_STREAM)
    try:
        door.bind((HOST, port))
    except OSError as error:
        door.close()
        raise UsageError(f"port {port} is taken", error.strerror or "", "give another with --port, or 0") from None
    door.listen()
    return door
