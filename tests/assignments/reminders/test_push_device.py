"""What a browser says of itself when it subscribes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assignments.reminders.push_device import PushDevice, PushDeviceError
from tests.assignments.reminders.push_service import Browser
from tests.thoroughness import examples

BROWSER = Browser()
GOOD = PushDevice("https://push.example.org/send/abc", BROWSER.p256dh, BROWSER.auth)


@pytest.mark.parametrize(
    "endpoint",
    ["https://push.example.org/a?b=c", "https://push.example.org:443/a", "https://8.8.8.8/a"],
)
def test_a_public_address_is_taken(endpoint):
    GOOD._replace(endpoint=endpoint).check()


@pytest.mark.parametrize(
    "endpoint",
    [
        "",
        "push",
        "http://push.example.org/",
        "ftp://push.example.org/",
        "https:///a",
        "https://push.example.org:22/",
        "https://push.example.org:99999/",
        "https://a:b@example.org/",
        "https://localhost/",
        "https://kit.local/",
        "https://db/",
        "https://127.0.0.1/",
        "https://10.0.0.8/",
        "https://[::1]/",
        "https://[::ffff:127.0.0.1]/",
        "https://[::1",
        "https://exämple.org/",
        "https://example.org/\n",
        "https://example.org/a b",
        "https://example.org\\@localhost/",
        f"https://example.org/{'a' * 1000}",
    ],
)
def test_any_other_is_refused(endpoint):
    with pytest.raises(PushDeviceError):
        GOOD._replace(endpoint=endpoint).check()


@pytest.mark.parametrize(
    "keys",
    [
        {"auth": ""},
        {"auth": "AAAA"},
        {"auth": "ä" * 22},
        {"p256dh": ""},
        {"p256dh": "AAAA"},
        {"p256dh": GOOD.p256dh[:-2]},
        {"p256dh": "B" + "A" * 86},
    ],
)
def test_keys_that_encrypt_nothing_are_refused(keys):
    with pytest.raises(PushDeviceError):
        GOOD._replace(**keys).check()


@examples(300)
@given(st.text(max_size=40), st.text(max_size=90), st.text(max_size=30))
def test_whatever_is_sent_it_is_taken_or_refused(endpoint, p256dh, auth):
    for device in (
        PushDevice(endpoint, p256dh, auth),
        PushDevice(f"https://{endpoint}", GOOD.p256dh, GOOD.auth),
    ):
        try:
            device.check()
        except PushDeviceError as error:
            assert str(error)
