"""Feet that keep going: assigned with a fill, and kept with it when the rule set changes."""

import json
import re

import pytest

from assignments.blocks import block_of
from rhythms.engine import Meter, Surface
from rhythms.engine.playback.ostinato_library import ostinato_named
from tests.assignments.making import first_fill, give, make_rule_set
from tests.assignments.pages import address

pytestmark = pytest.mark.django_db

ON_THE_SNARE = {"rule": "placement", "surfaces": ["snare"]}
SAMBA = {"rule": "feet keep going", "pattern": "samba"}


@pytest.fixture
def given(student):
    rules = make_rule_set(student.studio, [ON_THE_SNARE, SAMBA], name="Samba feet")
    return give(student, 1, rule_set=rules)


def test_the_block_sounds_them_under_fill_and_groove(given):
    block = block_of(first_fill(given))
    assert block.fill.ostinato == ostinato_named("samba", Meter(4, 4))
    hats = [s.onset for s in block.sounds if s.surface == Surface.HI_HAT_FOOT]
    assert len(hats) == 4 * 4


def test_a_later_edit_of_the_rule_set_does_not_change_them(given):
    rule_set = given.rule_set
    rule_set.rules = [ON_THE_SNARE]
    rule_set.save()
    assert first_fill(given).as_fill.ostinato.name == "samba"
    assert given.sentences == ["All notes go on the snare.", "The feet keep going: samba."]


def test_the_students_page_names_and_plays_them(given, student_client):
    page = student_client.get(address("fill", first_fill(given))).content.decode()
    assert "The feet keep going: samba." in page
    played = re.search(r'<script id="playable"[^>]*>(.*?)</script>', page, re.DOTALL)
    assert len(json.loads(played[1])["feet"]) == len(ostinato_named("samba", Meter(4, 4)).hits)
