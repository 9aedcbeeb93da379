"""MusicXML of every rudiment, by either hand: valid, and read back by music21 as written."""

from __future__ import annotations

from itertools import product

import pytest
from lxml import etree

from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import RUDIMENTS
from rhythms.notation import musicxml
from tests.published.test_musicxml_of_all_rules import meant, read
from tests.published.test_musicxml_schema import SCHEMA

pytestmark = pytest.mark.filterwarnings("ignore:.*does not map to a valid instrument")

EVERY = list(product(RUDIMENTS, "RL"))


def test_every_file_is_valid_against_the_standards_schema():
    for rudiment, lead in EVERY:
        SCHEMA.assertValid(etree.fromstring(musicxml(rudiment_fill(rudiment, lead)).encode()))


def test_every_note_comes_back_as_it_was_written():
    changed = [
        (rudiment.name, lead)
        for rudiment, lead in EVERY
        for fill in [rudiment_fill(rudiment, lead)]
        if read(fill) != meant(fill)
    ]
    assert changed == []


def test_graces_tremolos_and_accents_are_those_of_the_letters():
    wrong = []
    for rudiment in RUDIMENTS:
        found = read(rudiment_fill(rudiment))
        letters = (rudiment.cycle * len(found))[: len(found)]
        graces = [{"flam": 1, "drag": 2}.get(letter.ornament, 0) for letter in letters]
        tremolos = [{"diddle": 1, "buzz": 0}.get(letter.ornament) for letter in letters]
        written = [(note.graces, note.tremolo, note.accent, note.sticking) for note in found]
        meant_by_letters = zip(
            graces,
            tremolos,
            (letter.accent for letter in letters),
            (letter.hand for letter in letters),
            strict=True,
        )
        if written != list(meant_by_letters):
            wrong.append(rudiment.name)
    assert wrong == []
