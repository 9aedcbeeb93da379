"""What a run begins with, written into its page before any script."""

import pytest

from assignments.today.practice_session import first_shown


def items(*done: bool) -> dict:
    return {"items": [{"title": number, "done": each} for number, each in enumerate(done)]}


@pytest.mark.parametrize(
    ("done", "now", "after"),
    [
        ((False, False), 0, 1),
        ((True, False, False), 1, 2),
        ((True, False), 1, None),
        ((True, True), 0, 1),
        ((), None, None),
    ],
    ids=["nothing played", "the first is played", "the last is left", "all is played", "no plan"],
)
def test_a_run_begins_with_the_first_that_is_not_done(done, now, after):
    shown = first_shown(items(*done))
    assert [item and item["title"] for item in shown.values()] == [now, after]
