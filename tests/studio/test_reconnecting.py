"""Redis stops and starts: worker and beat are back each time, by themselves or started anew."""

import os
import signal
import time
from pathlib import Path

import pytest
from celery import Celery

from studio.task_routes import QUICK
from studio.worker_watch import EXIT_CODE, Patience
from tests.services import Service, beat, environment, redis, supervised, worker
from tests.studio.probing import APP, IMPATIENT, NAP, NUDGE, WITHIN, Watched, send
from tests.thoroughness import amount

#: The seconds that Redis is away, and whether it is killed or told to stop; each time it is
#: started twice. The thorough run has five of them.
AWAY = [(0, True), (1, False), *amount([(0, False), (2.5, True), (0.2, True)], [])]


@pytest.fixture
def broker(tmp_path):
    with redis(tmp_path) as broker:
        yield broker


@pytest.fixture
def surroundings(tmp_path, broker):
    return environment(tmp_path, REDIS_URL=broker.url)


@pytest.fixture
def impatient(surroundings):
    return surroundings | {IMPATIENT: "1"}


@pytest.mark.services
def test_worker_and_beat_survive_restarts_of_redis(
    tmp_path: Path, broker: Service, surroundings: dict[str, str]
):
    with (
        worker(tmp_path, surroundings, app=APP, hands=2) as served,
        beat(tmp_path, surroundings, app=APP) as beating,
        supervised(served),
        supervised(beating),
    ):
        seen = Watched(served)
        for seconds, killed in AWAY:
            stop = broker.kill if killed else broker.stop
            stop()
            time.sleep(seconds)
            broker.start()
            # Cut off while one hand is full and the other waits for more.
            seen.wait_until_begun(send(broker, NAP, 1, queue=QUICK))
            stop()
            broker.start()
            beats = seen.done(NUDGE)
            seen.wait_until_done(send(broker, NAP, 0, queue=QUICK))
            seen.wait_until_done(NUDGE, more_than=beats)
        assert "NoneType" not in served.log.read_text()


@pytest.mark.services
def test_a_worker_that_takes_nothing_ends_and_is_started_anew(tmp_path, broker, impatient):
    """It is told to take nothing, which it obeys: to its queue it is deaf, and its process runs."""
    with worker(tmp_path, impatient, app=APP) as served, supervised(served):
        with Celery(broker=broker.url, set_as_current=False) as sender:

            def obeys() -> bool:
                sender.control.cancel_consumer(QUICK)  # lost on who does not listen yet
                return "Canceling queue" in served.output

            served.wait_for(obeys)
        Watched(served).wait_until_done(send(broker, NAP, 0, queue=QUICK))
        assert "takes nothing though work waits" in served.log.read_text()


@pytest.mark.services
def test_a_beat_that_stands_still_ends(tmp_path, broker, impatient):
    """Redis is frozen: it takes what the beat says, and never answers."""
    with beat(tmp_path, impatient, app=APP) as beating:
        process = beating.process
        os.kill(broker.process.pid, signal.SIGSTOP)
        try:
            assert process.wait(WITHIN) == EXIT_CODE
        finally:
            os.kill(broker.process.pid, signal.SIGCONT)
        assert "The beat stands still" in beating.output


class TestPatience:
    @pytest.fixture
    def clock(self):
        return iter(range(1000)).__next__  # each look is a second later

    def test_it_grows_while_nothing_goes_on(self, clock):
        patience = Patience(clock)
        waited = [patience.waited("nothing", should_go_on=True) for _ in range(3)]
        assert waited == sorted(set(waited))

    def test_progress_starts_it_anew(self, clock):
        patience = Patience(clock)
        assert [patience.waited(number, should_go_on=True) for number in range(3)] == [1, 1, 1]

    def test_where_nothing_has_to_go_on_it_does_not_run_out(self, clock):
        patience = Patience(clock)
        assert [patience.waited("idle", should_go_on=False) for _ in range(3)] == [1, 1, 1]
