"""What a request sets going and nobody waits for."""

import pytest

from studio.after_answer import after_answer, begin_request, finish_request


@pytest.fixture
def done():
    """What was done, in order."""
    return []


def test_outside_a_request_it_is_done_at_once(done):
    after_answer(lambda: done.append("work"))
    assert done == ["work"]


def test_in_a_request_it_is_done_once_the_answer_is_sent(done):
    begin_request()
    for work in ("first", "second"):
        after_answer(lambda work=work: done.append(work))
    assert done == []
    finish_request()
    assert done == ["first", "second"]


def test_it_is_done_once(done):
    for _ in range(2):
        begin_request()
        if not done:
            after_answer(lambda: done.append("work"))
        finish_request()
    assert done == ["work"]


def test_what_it_asks_for_itself_is_done_at_once(done):
    begin_request()
    after_answer(lambda: after_answer(lambda: done.append("work")))
    finish_request()
    assert done == ["work"]


def test_work_that_fails_stops_no_other_and_is_logged(done, caplog):
    begin_request()
    after_answer(lambda: 1 / 0)
    after_answer(lambda: done.append("work"))
    finish_request()
    assert done == ["work"]
    assert "What was to be done after an answer failed" in caplog.text


def test_what_a_request_left_undone_is_not_the_next_ones(done):
    begin_request()
    after_answer(lambda: done.append("work"))
    begin_request()
    finish_request()
    assert done == []
