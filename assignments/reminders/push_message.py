"""One message to one device: encrypted, signed, and handed to its push service."""

import json
import time
from email.utils import parseaddr
from enum import StrEnum
from urllib.parse import urlsplit

import requests
from django.conf import settings
from pywebpush import Vapid, WebPusher

from assignments.reminders.push_device import PushDevice
from assignments.reminders.push_keys import private_key
from assignments.reminders.push_session import public_session

#: Seconds to connect, and between two bytes of the answer.
_PATIENCE = (3, 5)
#: Seconds for which a message waits for a device that is off: a reminder of yesterday is none.
KEPT_FOR = 2 * 3600
_SIGNED_FOR = 12 * 3600
_GONE = {404, 410}


class Delivery(StrEnum):
    """What became of a message."""

    SENT = "sent"
    GONE = "the device no longer takes any"
    FAILED = "failed"


def deliver(device: PushDevice, message: dict[str, str]) -> Delivery:
    """Hand the message to the device's push service; never raises for what that one does."""
    subscription = {
        "endpoint": device.endpoint,
        "keys": {"p256dh": device.p256dh, "auth": device.auth},
    }
    body = WebPusher(subscription).encode(json.dumps(message).encode())["body"]
    headers = {
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(KEPT_FOR),
        "Urgency": "normal",
        "Topic": "reminder",
    }
    try:
        headers |= _signature(device.endpoint)
        status = _posted(device.endpoint, body, headers)
    except (requests.RequestException, OSError, ValueError):
        return Delivery.FAILED
    if status in _GONE:
        return Delivery.GONE
    return Delivery.SENT if 200 <= status < 300 else Delivery.FAILED


def _posted(endpoint: str, body: bytes, headers: dict[str, str]) -> int:
    """Return the status of the answer, of which nothing more is read."""
    with public_session() as session:
        answer = session.post(
            endpoint, body, headers=headers, timeout=_PATIENCE, allow_redirects=False, stream=True
        )
        answer.close()
        return answer.status_code


def _signature(endpoint: str) -> dict[str, str]:
    """Who sends it, for this push service alone (RFC 8292)."""
    service = urlsplit(endpoint)
    claims = {
        "aud": f"{service.scheme}://{service.netloc}",
        "exp": int(time.time()) + _SIGNED_FOR,
        "sub": f"mailto:{parseaddr(settings.DEFAULT_FROM_EMAIL)[1]}",
    }
    signed: dict[str, str] = Vapid(private_key=private_key()).sign(claims)
    return signed
