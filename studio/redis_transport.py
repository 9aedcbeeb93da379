"""The way to Redis for Celery, on which a worker outlives the loss of its broker.

kombu 5.7 closes a lost connection twice, and a task that was under way is answered on it once more.
By then it has no address any more, which is no error of connections ("'NoneType' object has no
attribute 'hostname'"), so the worker ends. Here it is one, and the worker goes on: the message is
given out again after the visibility timeout, or the sweep asks again.
"""

from typing import Any

from kombu.transport.redis import Channel, Transport
from redis.exceptions import ConnectionError as LostConnectionError


class ReconnectingChannel(Channel):
    def _connparams(self, asynchronous: bool = False) -> dict[str, Any]:
        if self.connection is None or self.connection.client is None:
            raise LostConnectionError("This connection is closed.")
        return dict(super()._connparams(asynchronous))  # type: ignore[no-untyped-call]


class ReconnectingTransport(Transport):
    Channel = ReconnectingChannel
