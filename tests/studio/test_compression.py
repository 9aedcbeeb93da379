"""Pages and data are sent compressed to who asks for it, and nothing else is."""

import gzip
import re

import pytest
from django.http import FileResponse, HttpResponse, JsonResponse
from django.urls import reverse

from studio.compression import Compression

pytestmark = pytest.mark.django_db
ASKED = {"Accept-Encoding": "gzip, deflate, br"}
LONG = "Right, left, right, right. " * 100
TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="(\w+)"')


def answered(rf, response):
    """The response as it leaves for a browser that can unpack it."""
    return Compression(lambda request: response)(rf.get("/", headers=ASKED))


def page(client, name="assignments:roster", **headers):
    return client.get(reverse(name), headers=headers)


def test_a_page_is_compressed_for_who_asks(teacher_client):
    packed = page(teacher_client, **ASKED)
    assert packed["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed["Vary"]
    assert b"</html>" in gzip.decompress(packed.content)


def test_a_page_is_plain_for_who_does_not_ask(teacher_client):
    assert "Content-Encoding" not in page(teacher_client)


def test_the_api_is_compressed(student_client, assignment):
    answer = page(student_client, "assignments:api-variations", **ASKED)
    assert answer["Content-Encoding"] == "gzip"


def test_the_same_page_has_another_length_each_time(rf):
    lengths = {len(answered(rf, HttpResponse(LONG)).content) for _ in range(30)}
    assert len(lengths) > 5, "nothing hides how long the page is"


def test_the_secret_of_a_form_is_written_otherwise_each_time(teacher_client):
    tokens = set()
    for _ in range(5):
        tokens.update(
            TOKEN.findall(gzip.decompress(page(teacher_client, **ASKED).content).decode())
        )
    assert len(tokens) >= 5


def test_a_tiny_answer_is_left_as_it_is(rf):
    assert "Content-Encoding" not in answered(rf, JsonResponse({"ok": True}))


def test_what_is_compressed_already_is_not_compressed_again(rf):
    once = HttpResponse(gzip.compress(LONG.encode()), headers={"Content-Encoding": "gzip"})
    assert gzip.decompress(answered(rf, once).content) == LONG.encode()


@pytest.mark.parametrize("kind", ["application/pdf", "audio/mpeg", "audio/midi"])
def test_a_file_that_is_no_text_is_sent_as_it_is(rf, kind):
    assert "Content-Encoding" not in answered(rf, HttpResponse(LONG, content_type=kind))


def test_a_streamed_file_keeps_its_length(rf, tmp_path):
    file = tmp_path / "entries.json"
    file.write_text(LONG)
    response = answered(rf, FileResponse(file.open("rb")))
    assert int(response["Content-Length"]) == len(LONG)
    response.close()


def test_what_is_read_as_it_is_sent_is_compressed_on_the_way(student_client, entry):
    answer = page(student_client, "assignments:about-me-download", **ASKED)
    assert answer["Content-Encoding"] == "gzip"
    assert str(entry.pk) in gzip.decompress(b"".join(answer.streaming_content)).decode()


def test_a_page_asked_for_by_its_mark_is_not_sent_again(client):
    first = page(client, "rhythms:sounds", **ASKED)
    again = page(client, "rhythms:sounds", **ASKED, **{"If-None-Match": first["ETag"]})
    assert (first["Content-Encoding"], again.status_code) == ("gzip", 304)
