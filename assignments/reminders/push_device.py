"""What a browser says of itself when it subscribes, checked before anything is sent to it."""

import base64
import binascii
import hashlib
import ipaddress
from typing import NamedTuple
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec

LONGEST = 1000
_HTTPS_PORT = 443
_AUTH_BYTES = 16


class PushDeviceError(ValueError):
    """Raised for what no browser's push service would say."""


class PushDevice(NamedTuple):
    """Where messages for a device go, and the keys that encrypt them, in base64url."""

    endpoint: str
    p256dh: str
    auth: str

    @property
    def endpoint_hash(self) -> str:
        """What its endpoint is looked up by."""
        return hashlib.sha256(self.endpoint.encode()).hexdigest()

    def check(self) -> None:
        """Raise PushDeviceError unless messages could be sent there and encrypted."""
        _check_endpoint(self.endpoint)
        if len(_decoded(self.auth)) != _AUTH_BYTES:
            raise PushDeviceError("The device's secret is not of 16 bytes.")
        try:
            ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), _decoded(self.p256dh))
        except ValueError as error:
            raise PushDeviceError("The device's key is no point of P-256.") from error


def _check_endpoint(endpoint: str) -> None:
    if len(endpoint) > LONGEST or not endpoint.isascii() or not endpoint.isprintable():
        raise PushDeviceError("The address is too long, or has letters that no address has.")
    try:
        parts = urlsplit(endpoint)
        port = parts.port or _HTTPS_PORT
    except ValueError as error:
        raise PushDeviceError("This is no address.") from error
    if parts.scheme != "https" or port != _HTTPS_PORT or parts.username or parts.password:
        raise PushDeviceError("A push service has an https address on the usual port.")
    if " " in endpoint or "\\" in endpoint or not _may_be_public(parts.hostname or ""):
        raise PushDeviceError("A push service is on the public internet.")


def _may_be_public(host: str) -> bool:
    """Whether a host by this name may be; where the name leads is seen once it is connected to."""
    try:
        return is_public(host)
    except ValueError:
        return "." in host.strip(".") and not host.endswith((".localhost", ".local", ".internal"))


def is_public(address: str) -> bool:
    """Whether an IP address is of the public internet. Raises ValueError where it is none."""
    found = ipaddress.ip_address(address.partition("%")[0])
    mapped = getattr(found, "ipv4_mapped", None) or getattr(found, "sixtofour", None)
    found = mapped or found
    return found.is_global and not found.is_multicast


def _decoded(text: str) -> bytes:
    try:
        return base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (ValueError, binascii.Error) as error:
        raise PushDeviceError("The device's keys are not in base64url.") from error
