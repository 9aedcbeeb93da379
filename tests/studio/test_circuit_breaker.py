"""What is shared by the threads of a process."""

from studio import circuit_breaker
from studio.circuit_breaker import CircuitBreaker


def test_a_server_may_be_back_while_another_thread_asks_whether_it_rests(monkeypatch):
    breaker = CircuitBreaker("server")
    breaker.note_failure(OSError())

    def while_another_thread_succeeds() -> float:
        breaker.note_success()
        return 0.0

    monkeypatch.setattr(circuit_breaker.time, "monotonic", while_another_thread_succeeds)
    assert breaker.is_open
