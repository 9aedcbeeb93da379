"""A network between a phone and the site: it is there, and may carry nothing."""

import socket
import threading
from contextlib import suppress
from urllib.parse import urlsplit

from pytest_django.live_server_helper import LiveServer


class Relay:
    """Passes bytes on to a live server, at an address of its own; otherwise it is that server."""

    def __init__(self, server: LiveServer) -> None:
        self._server = server
        address = urlsplit(server.url)
        self._behind = (address.hostname or "localhost", address.port or 80)
        self._passes, self._answers = threading.Event(), True
        self._pairs: list[tuple[socket.socket, socket.socket]] = []
        self._listener: socket.socket | None = None
        self._port = 0
        self.start()
        self.url = f"http://{address.hostname}:{self._port}"

    def __getattr__(self, name: str) -> object:
        return getattr(self._server, name)

    def start(self) -> None:
        """The site is there, or is there again."""
        self._hang_up()
        self._answers = True
        self._passes.set()
        self._listen()

    def stop(self) -> None:
        """Nobody listens where the site was."""
        if self._listener:
            _close(self._listener)
        self._listener = None
        self._passes.set()
        self._hang_up()

    def hang(self) -> None:
        """What is sent goes nowhere, and nothing is answered."""
        self._passes.clear()

    def lose_answers(self) -> None:
        """What is sent arrives, and its answer does not."""
        self._answers = False

    def _listen(self) -> None:
        if self._listener:
            return
        self._listener = socket.create_server(("127.0.0.1", self._port), backlog=64)
        self._port = self._listener.getsockname()[1]
        threading.Thread(target=self._accept, args=[self._listener], daemon=True).start()

    def _accept(self, listener: socket.socket) -> None:
        while True:
            try:
                phone, _ = listener.accept()
            except OSError:  # stopped
                return
            site = socket.create_connection(self._behind)
            self._pairs.append((phone, site))
            for ends in ((phone, site, False), (site, phone, True)):
                threading.Thread(target=self._pass_on, args=ends, daemon=True).start()

    def _pass_on(self, source: socket.socket, target: socket.socket, is_answer: bool) -> None:
        with suppress(OSError):
            while data := source.recv(65_536):
                self._passes.wait()
                if is_answer and not self._answers:
                    break
                target.sendall(data)
        _close(source, target)

    def _hang_up(self) -> None:
        for pair in self._pairs:
            _close(*pair)
        self._pairs.clear()


def _close(*ends: socket.socket) -> None:
    for end in ends:
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        end.close()
