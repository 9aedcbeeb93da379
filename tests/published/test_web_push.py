"""The example of RFC 8291, section 5: what the tests read reminders with reads and writes it.

Keys, salt and message as they stand there and in its appendix A.
"""

import base64

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

PLAIN = b"When I grow up, I want to be a watermelon"
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
RECEIVER = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
SENDER = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27ml"
    "mlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPT"
    "pK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)


def read(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def key(text: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(read(text), "big"), ec.SECP256R1())


def test_the_message_is_read():
    assert http_ece.decrypt(read(BODY), private_key=key(RECEIVER), auth_secret=read(AUTH)) == PLAIN


def test_the_message_is_written():
    receiver = key(RECEIVER).public_key()
    point = receiver.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    written = http_ece.encrypt(
        PLAIN, salt=read(SALT), private_key=key(SENDER), dh=point, auth_secret=read(AUTH)
    )
    assert written == read(BODY)
