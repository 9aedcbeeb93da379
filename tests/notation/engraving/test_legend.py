"""The key printed with a fill."""

import pytest
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.engine.kits.surfaces import called
from rhythms.notation import legend, legend_svg

FILL = Fill(
    Bar.from_counts("1 2 3 4"),
    (
        Stroke(Surface.BASS_DRUM, "RF"),
        Stroke(Surface.FLOOR_TOM),
        Stroke(Surface.SNARE),
        Stroke(Surface.FLOOR_TOM),
    ),
)


def test_it_names_each_surface_of_the_fill_once_in_the_usual_order():
    assert [entry.name for entry in legend(FILL)] == ["Snare", "Floor tom", "Bass drum"]


@pytest.mark.parametrize("surface", Surface)
def test_an_entry_can_stand_on_a_page_twice_and_says_what_it_shows(surface):
    root = etree.fromstring(legend_svg(surface).encode())
    assert not [element for element in root.iter() if element.get("id")]
    assert (root.get("role"), root.get("aria-label")) == ("img", called(surface).capitalize())


def test_all_entries_have_the_same_size():
    boxes = {etree.fromstring(legend_svg(surface).encode()).get("viewBox") for surface in Surface}
    assert len({tuple(box.split()[2:]) for box in boxes}) == 1


def test_no_two_entries_look_alike():
    drawings = {etree.tostring(etree.fromstring(legend_svg(s).encode())[0]) for s in Surface}
    assert len(drawings) == len(Surface)
