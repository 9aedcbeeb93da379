"""Talking to push services, and to nobody else.

A name may lead to one machine when it is looked at and to another when it is connected to; so it
is the connection that is looked at, before anything is said over it.
"""

from typing import Any

import requests
from requests.adapters import HTTPAdapter
from urllib3.connection import HTTPSConnection
from urllib3.connectionpool import HTTPSConnectionPool
from urllib3.exceptions import NewConnectionError
from urllib3.poolmanager import PoolManager

from assignments.reminders.push_device import is_public


class PublicConnection(HTTPSConnection):
    """Hangs up at once on whoever is not on the public internet."""

    def _new_conn(self) -> Any:
        connection = super()._new_conn()
        if is_public(connection.getpeername()[0]):
            return connection
        connection.close()
        raise NewConnectionError(self, f"{self.host} is not on the public internet")


class PublicPool(HTTPSConnectionPool):
    """Connections to the public internet alone."""

    ConnectionCls = PublicConnection


class PublicAdapter(HTTPAdapter):
    """For `https://`; without a try again."""

    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        self.poolmanager = PoolManager(*args[:1])
        self.poolmanager.pool_classes_by_scheme = {"https": PublicPool}


def public_session() -> requests.Session:
    """Return a session that reaches https on the public internet and nothing else.

    No proxy, no password file and no plain HTTP, whatever the environment says.
    """
    session = requests.Session()
    session.trust_env = False
    session.adapters.clear()
    session.mount("https://", PublicAdapter(max_retries=0))
    return session
