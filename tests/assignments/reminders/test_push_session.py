"""Messages go to the public internet and nowhere else."""

import pytest
import requests

from assignments.reminders.push_device import PushDevice, is_public
from assignments.reminders.push_message import Delivery, deliver
from assignments.reminders.push_session import public_session


@pytest.mark.parametrize(
    "address",
    [
        "127.0.0.1",
        "10.1.2.3",
        "172.16.0.1",
        "192.168.1.1",
        "169.254.169.254",
        "100.64.0.1",
        "0.0.0.0",
        "::1",
        "fe80::1%eth0",
        "fd00::1",
        "::ffff:127.0.0.1",
        "::ffff:10.0.0.1",
        "2002:7f00:1::",
        "224.0.0.1",
        "255.255.255.255",
    ],
)
def test_a_machine_of_this_house_is_not_public(address):
    """Registers of special addresses: RFC 6890 and its updates, RFC 4193, RFC 3056."""
    assert not is_public(address)


@pytest.mark.parametrize("address", ["8.8.8.8", "2606:4700:4700::1111", "::ffff:8.8.8.8"])
def test_others_are(address):
    assert is_public(address)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost"])
def test_it_hangs_up_on_a_machine_of_this_house(push_service, host):
    address = push_service.address.replace("127.0.0.1", host)
    with public_session() as session, pytest.raises(requests.ConnectionError, match="public"):
        session.post(address, b"", timeout=5, verify=str(push_service.certificate))
    assert push_service.came == []


def test_a_message_there_has_failed(push_service, browser_keys):
    device = PushDevice(push_service.address, browser_keys.p256dh, browser_keys.auth)
    assert deliver(device, {"title": "x"}) is Delivery.FAILED
    assert push_service.came == []


def test_it_knows_no_plain_http_and_no_proxy(monkeypatch):
    monkeypatch.setenv("HTTPS_PROXY", "http://127.0.0.1:9")
    with public_session() as session:
        assert not session.trust_env
        with pytest.raises(requests.exceptions.InvalidSchema):
            session.post("http://example.org/", timeout=1)
