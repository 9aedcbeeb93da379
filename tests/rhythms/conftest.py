"""What the pages of bars, rules and ladders are tried on."""

import pytest

MAIN_BAR = "1 & 2 e & a 3 & 4 e & a"


@pytest.fixture
def empty_studio(studio):
    """A studio that has removed all that it started with."""
    studio.ladders.all().delete()
    studio.rule_sets.all().delete()
    studio.bars.all().delete()
    return studio
