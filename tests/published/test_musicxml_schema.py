"""MusicXML files against the W3C's own schema, version 4.0.

The schema comes with the general-purpose package ``musicxml``. What it imports does not:
a few attributes of XML and XLink, none of which our files use. ``schema/`` declares them
after the two W3C recommendations, so that nothing is fetched.
"""

import importlib.util
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.notation import musicxml, musicxml_of_all
from tests.strategies import fills, fills_of_one_bar, ostinatos

PACKAGE = Path(importlib.util.find_spec("musicxml").origin).parent
SCHEMA_FILE = PACKAGE / "generate_classes" / "musicxml_4_0.xsd"
IMPORTED = Path(__file__).parent / "schema"


class Offline(etree.Resolver):
    """Answers the schema's two imports without the network."""

    def resolve(self, url, public_id, context):
        if url == str(SCHEMA_FILE):
            return None
        return self.resolve_filename(str(IMPORTED / Path(url).name), context)


def load_schema():
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(Offline())
    return etree.XMLSchema(etree.parse(SCHEMA_FILE, parser))


SCHEMA = load_schema()


@given(fills(together=True))
def test_every_file_is_valid(fill):
    SCHEMA.assertValid(etree.fromstring(musicxml(fill).encode()))


@given(st.data())
def test_every_file_with_feet_that_keep_going_is_valid(data):
    fill = data.draw(fills(together=True))
    going = Fill(fill.bar, fill.strokes, data.draw(ostinatos(fill.bar.meter)))
    SCHEMA.assertValid(etree.fromstring(musicxml(going).encode()))


@given(fills_of_one_bar())
def test_every_file_of_several_fills_is_valid(fills):
    SCHEMA.assertValid(etree.fromstring(musicxml_of_all(fills, "Line 4").encode()))


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("<notehead>x</notehead>", "<notehead>cross-stick</notehead>"),
        ("<type>quarter</type>", "<type>fourth</type>"),
        ("<instrument id=", "<play id="),
    ],
)
def test_the_schema_tells_a_wrong_file(right, wrong):
    """Or the law above would prove nothing."""
    fill = Fill(Bar.from_counts("1 2 3 4"), (Stroke(Surface.CROSS_STICK),) * 4)
    text = musicxml(fill)
    assert right in text
    assert not SCHEMA.validate(etree.fromstring(text.replace(right, wrong).encode()))
