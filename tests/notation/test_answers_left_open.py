"""Bars that are left open to the player: empty, with words over them, in every notation."""

from __future__ import annotations

import pytest
from lxml import etree
from music21 import converter
from music21.expressions import TextExpression

from rhythms.engine import Bar, Fill
from rhythms.engine.bars.turned import with_own_answer
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import musicxml
from rhythms.notation.engraving.svg import svg
from rhythms.notation.fill_text import description
from tests.published.test_musicxml_schema import SCHEMA

CALLS = ["1 & 2 e & a 3 & 4", "1 2 3 4 | 1 & 2 & 3 4"]


@pytest.fixture(params=CALLS)
def fill(request) -> Fill:
    return snare_fill(with_own_answer(Bar.from_counts(request.param)))


def test_one_bar_has_the_words_over_it_and_nothing_in_it(fill):
    drawn = etree.fromstring(svg(fill).encode())
    words = [text.text for text in drawn.iter("{*}text")]
    assert words == ["Your answer"]
    assert len(drawn.findall(".//*[@class='stroke']")) == len(fill.strokes)
    heads = {use.get("href").partition("-")[2] for use in drawn.iter("{*}use")}
    assert not heads & {"E4E3", "E4E4", "E4E5"}, "a rest is drawn where an answer is to be played"


def test_counts_under_an_answer_stay_where_counts_are(fill):
    drawn = etree.fromstring(svg(fill, counts=True).encode())
    said = [text for text in drawn.iter("{*}text") if text.text.strip("()").isdigit()]
    assert len(said) == 4 * fill.bar.meter.bars


def test_music21_finds_the_words_in_the_first_open_bar(fill):
    written = musicxml(fill)
    SCHEMA.assertValid(etree.fromstring(written.encode()))
    score = converter.parseData(written, format="musicxml")
    [words] = score.recurse().getElementsByClass(TextExpression)
    assert words.content == "Your answer"
    assert words.getOffsetInHierarchy(score) == fill.bar.open_from


def test_it_is_told_once_and_last(fill):
    told = description(fill)
    assert told.endswith(", then your answer")
    assert "rest" not in told
