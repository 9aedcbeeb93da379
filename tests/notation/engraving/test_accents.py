"""Accents and the beams they stand over."""

from __future__ import annotations

import re
from random import Random

import pytest
from lxml import etree

from rhythms.engine import Bar, Fill, Stroke, Surface
from rhythms.notation import svg
from tests.thoroughness import amount

SVG = "{http://www.w3.org/2000/svg}"
#: SMuFL's articAccentAbove and articAccentBelow, and the width of both, in the drawing's units.
ABOVE, BELOW, WIDTH = "E4A0", "E4A1", 150
#: A third of a staff space.
CLEAR = 60

SURFACES = (Surface.SNARE, Surface.FLOOR_TOM, Surface.CRASH, Surface.RIDE, Surface.BASS_DRUM)


def accented(counts: str, seed: int) -> Fill:
    random, bar = Random(seed), Bar.from_counts(counts)
    return Fill(
        bar,
        tuple(
            Stroke(random.choice(SURFACES), dynamic=random.choice(["accent", "normal"]))
            for _ in bar.sounded
        ),
    )


def gaps(fill: Fill) -> list[float]:
    """How far each accent is from each beam over or under which it stands; below 0: past it."""
    root = etree.fromstring(svg(fill).encode())
    beams = [
        [tuple(map(int, point.split(","))) for point in polygon.get("points").split()]
        for polygon in root.iter(f"{SVG}polygon")
    ]
    found = []
    for use in root.iter(f"{SVG}use"):
        name = use.get("href").rpartition("-")[2]
        x, y = map(int, re.match(r"translate\((-?\d+), (-?\d+)\)", use.get("transform")).groups())
        for beam in beams if name in (ABOVE, BELOW) else []:
            (x1, y1), (x2, y2), *_ = beam
            for at in (x, x + WIDTH):
                if x1 <= at <= x2:
                    top = y1 + (y2 - y1) * (at - x1) / (x2 - x1)
                    thick = max(y for _, y in beam) - max(y1, y2)
                    found.append(top - y if name == ABOVE else y - top - thick)
    return found


@pytest.mark.parametrize("counts", ["1 e & a 2 e & a 3 & 4 &", "1 & a 2 e & 3 a 4 trip let"])
def test_no_accent_touches_a_beam(counts):
    near = [
        gap
        for seed in range(amount(120, 25))
        for gap in gaps(accented(counts, seed))
        if abs(gap) < 200  # else it is of the other voice
    ]
    assert len(near) > 20
    assert min(near) >= CLEAR
