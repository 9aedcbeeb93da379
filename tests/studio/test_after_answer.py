"""What a request sets going and nobody waits for."""

import pytest
from django.core.signals import request_finished, request_started

from studio.after_answer import after_answer


@pytest.fixture
def done():
    """What was done, in order."""
    return []


def test_outside_a_request_it_is_done_at_once(done):
    after_answer(lambda: done.append("work"))
    assert done == ["work"]


def test_in_a_request_it_is_done_once_the_answer_is_sent(done):
    request_started.send(None)
    for work in ("first", "second"):
        after_answer(lambda work=work: done.append(work))
    assert done == []
    request_finished.send(None)
    assert done == ["first", "second"]


def test_it_is_done_once(done):
    for _ in range(2):
        request_started.send(None)
        if not done:
            after_answer(lambda: done.append("work"))
        request_finished.send(None)
    assert done == ["work"]


def test_what_it_asks_for_itself_is_done_at_once(done):
    request_started.send(None)
    after_answer(lambda: after_answer(lambda: done.append("work")))
    request_finished.send(None)
    assert done == ["work"]


def test_work_that_fails_stops_no_other_and_is_logged(done, caplog):
    request_started.send(None)
    after_answer(lambda: 1 / 0)
    after_answer(lambda: done.append("work"))
    request_finished.send(None)
    assert done == ["work"]
    assert "What was to be done after an answer failed" in caplog.text


def test_what_a_request_left_undone_is_not_the_next_ones(done):
    request_started.send(None)
    after_answer(lambda: done.append("work"))
    request_started.send(None)
    request_finished.send(None)
    assert done == []
