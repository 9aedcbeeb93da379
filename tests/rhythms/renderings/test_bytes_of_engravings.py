"""Engravings stand inside their pages because that is less to send than an address for each."""

import zlib

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.notation import svg

BARS = (
    "1 e + a 2 e + a 3 e + a 4 e + a",
    "1 + 2 e + a 3 + 4 e + a",
    "1 e a 2 + 3 e + 4 + a",
    "1 2 + 3 e + a 4",
    "1 + a 2 + a 3 + a 4 + a",
    "1 e + 2 e + 3 e + 4 e +",
)


def packed(text: str) -> int:
    return len(zlib.compress(text.encode()))


def test_an_engraving_among_others_is_fewer_bytes_than_by_itself():
    drawings = [
        svg(snare_fill(Bar.from_counts(counts)), prefix=f"r{number}a9c51d7e04b")
        for number, counts in enumerate(BARS)
    ]
    inside = packed("".join(drawings))
    by_address = sum(packed(drawing) for drawing in drawings)
    assert inside < by_address / 1.5, (inside, by_address)
