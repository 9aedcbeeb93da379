"""A server that is away is not asked again at once: nobody waits for it at every request."""

import logging
import time

logger = logging.getLogger(__name__)


class CircuitBreaker:
    """Open for `rest` seconds after a failure; says once that the server is away, and once that
    it is back. One for each process.
    """

    def __init__(self, server: str, rest: float = 5.0) -> None:
        self.server, self.rest = server, rest
        self._closed_from: float | None = None

    @property
    def server_is_away(self) -> bool:
        """Whether it has not answered since it was last seen to be away."""
        return self._closed_from is not None

    @property
    def is_open(self) -> bool:
        """Whether the server is to be left alone for now."""
        closed_from = self._closed_from  # another thread may hear from the server meanwhile
        return closed_from is not None and time.monotonic() < closed_from

    def rest_is_over(self) -> None:
        """Ask the server again from now on."""
        if self._closed_from is not None:
            self._closed_from = time.monotonic()

    def note_failure(self, error: Exception) -> None:
        if self._closed_from is None:
            logger.warning("The %s is away: %s", self.server, error)
        self._closed_from = time.monotonic() + self.rest

    def note_success(self) -> None:
        if self._closed_from is not None:
            logger.warning("The %s is back", self.server)
            self._closed_from = None
