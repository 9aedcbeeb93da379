"""The key by which push services know this site (RFC 8292), made from the site's secret key.

So it is made and kept where that one is, and all processes have the same. With another secret key,
students ask for their reminder anew; they are signed out by that anyway.
"""

import base64
from functools import lru_cache

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import settings

_PURPOSE = b"fillwright web push"
#: The order of the curve P-256 (FIPS 186): private keys are the numbers from 1 up to it.
_ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551


def private_key() -> ec.EllipticCurvePrivateKey:
    """Return the site's key on P-256."""
    return _key_of(settings.SECRET_KEY)


@lru_cache(maxsize=4)
def _key_of(secret: str) -> ec.EllipticCurvePrivateKey:
    # 16 bytes more than the order has: what is left over favours no number (FIPS 186-5, A.2.1).
    derive = HKDF(hashes.SHA256(), length=48, salt=None, info=_PURPOSE)
    number = int.from_bytes(derive.derive(secret.encode()), "big") % (_ORDER - 1) + 1
    return ec.derive_private_key(number, ec.SECP256R1())


def public_key() -> str:
    """Return the key that a browser subscribes with, in base64url."""
    point = private_key().public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    return base64.urlsafe_b64encode(point).rstrip(b"=").decode()
