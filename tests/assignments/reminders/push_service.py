"""A push service on this machine: takes messages by https, and reads them as a browser would."""

import base64
import datetime as dt
import ipaddress
import json
import ssl
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import http_ece
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
)

AUTH = b"sixteen bytes ok"


def base64url(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def from_base64url(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


class Browser:
    """What a browser has of its subscription: the keys, of which the site gets the public one."""

    def __init__(self) -> None:
        self.key = ec.generate_private_key(ec.SECP256R1())

    @property
    def p256dh(self) -> str:
        point = self.key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        return base64url(point)

    @property
    def auth(self) -> str:
        return base64url(AUTH)

    def read(self, body: bytes) -> Any:
        """Decrypt what came, as RFC 8291 has it."""
        return json.loads(http_ece.decrypt(body, private_key=self.key, auth_secret=AUTH))


def certificate(folder: Path) -> Path:
    """A certificate for 127.0.0.1 that vouches for itself, with its key."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "push service")])
    now = dt.datetime.now(dt.UTC)
    host = x509.IPAddress(ipaddress.ip_address("127.0.0.1"))
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=2))
        .not_valid_after(now + dt.timedelta(days=2))
        .add_extension(x509.SubjectAlternativeName([host]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    path = folder / "certificate.pem"
    secret = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    path.write_bytes(secret + made.public_bytes(Encoding.PEM))
    return path


class PushService:
    """Answers every message with `status`, and keeps what came: headers and body."""

    def __init__(self, folder: Path) -> None:
        self.came: list[tuple[dict[str, str], bytes]] = []
        self.status = 201
        self.certificate = certificate(folder)
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                service.came.append(({k.lower(): v for k, v in self.headers.items()}, body))
                self.send_response(service.status)
                self.send_header("Location", "/elsewhere")
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_: object) -> None:
                pass

        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self.certificate)
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.socket = context.wrap_socket(self.server.socket, server_side=True)
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.05,))
        self.thread.start()

    @property
    def address(self) -> str:
        return f"https://127.0.0.1:{self.server.server_port}/send/abc"

    def stop(self) -> None:
        self.server.shutdown()
        self.thread.join()
        self.server.server_close()
