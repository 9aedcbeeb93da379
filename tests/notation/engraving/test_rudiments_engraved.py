"""Every rudiment as it is drawn: heads apart, letters under them, signs on stems."""

from __future__ import annotations

import re
from itertools import pairwise, product

from lxml import etree

from rhythms.engine import Fill
from rhythms.engine.rudiments.rudiment_fill import rudiment_fill
from rhythms.engine.rudiments.rudiment_table import RUDIMENTS
from rhythms.notation import svg

SVG = "{http://www.w3.org/2000/svg}"
#: SMuFL's noteheads, half and black; the width of one in the font's units; buzzRoll.
HEADS, WIDTH, BUZZ = ("E0A3", "E0A4"), 314, "E22A"
EVERY = list(product(RUDIMENTS, "RL"))


def drawn(fill: Fill) -> etree._Element:
    return etree.fromstring(svg(fill).encode())


def heads(page: etree._Element) -> list[tuple[int, float, float]]:
    """Height, left and right edge of each head, in order of reading."""
    found = []
    for use in page.iter(f"{SVG}use"):
        if use.get("href").rpartition("-")[2] in HEADS:
            moved = r"translate\((\d+), (\d+)\) scale\(([\d.]+)"
            x, y, scale = map(float, re.match(moved, use.get("transform")).groups())
            found.append((round(y), x, x + WIDTH * scale))
    return sorted(found)


def letters(page: etree._Element) -> str:
    return "".join(
        text.text for text in page.iter(f"{SVG}text") if text.text and set(text.text) <= set("RL")
    )


def test_no_head_touches_the_next():
    touching = {
        (rudiment.name, lead)
        for rudiment, lead in EVERY
        for one, other in pairwise(heads(drawn(rudiment_fill(rudiment, lead))))
        if one[0] == other[0] and other[1] - one[2] < 10
    }
    assert touching == set()


def test_a_letter_stands_under_every_stroke_and_every_grace_note():
    wrong = []
    for rudiment, lead in EVERY:
        fill = rudiment_fill(rudiment, lead)
        other = {"R": "L", "L": "R"}
        expected = "".join(
            other[stroke.limb] * {"flam": 1, "drag": 2}.get(stroke.ornament, 0) + stroke.limb
            for stroke in fill.strokes
        )
        if letters(drawn(fill)) != expected:
            wrong.append((rudiment.name, lead))
    assert wrong == []


def test_only_a_multiple_bounce_roll_has_a_z_on_each_stem():
    signs = {
        rudiment.name: svg(rudiment_fill(rudiment)).count(f'{BUZZ}" transform')
        for rudiment in RUDIMENTS
    }
    assert {name: number for name, number in signs.items() if number} == {
        "Multiple Bounce Roll": len(rudiment_fill(RUDIMENTS[3]).strokes)
    }
