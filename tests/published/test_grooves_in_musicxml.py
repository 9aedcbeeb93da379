"""Each groove of the library as MusicXML, against the W3C's schema."""

from lxml import etree

from rhythms.engine.playback.groove_fill import groove_fills
from rhythms.engine.playback.groove_library import library
from rhythms.notation import musicxml, svg
from tests.published.test_musicxml_schema import SCHEMA


def test_every_groove_is_a_valid_file():
    files = {
        groove.name: etree.fromstring(musicxml(fill).encode())
        for groove in library()
        for fill in groove_fills(groove)
    }
    assert [name for name, file in files.items() if not SCHEMA.validate(file)] == []


def test_every_groove_is_engraved_with_all_that_is_struck():
    wrong = [
        groove.name
        for groove in library()
        for fill in groove_fills(groove)
        if svg(fill, counts=True).count('class="stroke"')
        != sum(bool(s.hand_hits) + bool(s.foot_hits) for s in fill.strokes)
    ]
    assert wrong == []
