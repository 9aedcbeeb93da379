"""The page of a take that left the click says where, and by how much."""

from __future__ import annotations

import pytest

from tests.assignments.making import taken
from tests.assignments.pages import address, text
from tests.engine.takes.test_click_left import late_by, played, slower
from tests.engine.takes.test_simulated_takes import fills

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("one_cast")]
SEED, TEMPO, FILL = fills(1, (("1 & 2 e & a 3 & 4 e & a", "4/4"),))[0]
READ = "Bars and notes are read where they were played, not by the click."


@pytest.fixture
def shown_for(student_client, student):
    def page_of(events) -> str:
        click = {"tempo": TEMPO, "start": 700.0}
        take = taken(student, None, events=[list(one) for one in events], click=click, tempo=TEMPO)
        return text(student_client.get(address("take", take.pk)))

    return page_of


@pytest.mark.parametrize(
    ("beats", "words"), [(1.0, "one beat"), (-1.0, "one beat"), (0.5, "half a beat")]
)
def test_a_lost_beat_is_named_with_bar_and_beat(shown_for, beats, words):
    shown = shown_for(late_by(played(FILL, TEMPO, SEED, 8.0), FILL, TEMPO, beats))
    assert "From bar 6, beat " in shown
    assert f" on the strokes are {words} off the click. {READ}" in shown
    assert f"then against the strokes, at about {TEMPO}." in shown


@pytest.mark.parametrize(("share", "words"), [(0.02, "behind it"), (-0.02, "ahead of it")])
def test_a_drift_is_named_with_its_bar_and_how_far_it_came(shown_for, share, words):
    shown = shown_for(slower(played(FILL, TEMPO, SEED, 8.0), share))
    assert "on the strokes leave the click: at the end they are " in shown
    assert f"ms {words}. {READ}" in shown


def test_who_stays_on_the_click_is_told_nothing_of_it(shown_for):
    shown = shown_for(played(FILL, TEMPO, SEED, 8.0))
    assert READ not in shown
    assert "Held against the click" in shown
