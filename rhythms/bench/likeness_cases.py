"""Bars and rule sets on which drawn fills are compared with drummers' own."""

from collections.abc import Sequence
from typing import NamedTuple

from rhythms.engine import Bar, FillSpace, Kit, RuleSet

KIT = Kit.standard()


class LikenessCase(NamedTuple):
    """A count line, and rules in their JSON form."""

    counts: str
    rules: Sequence[dict]

    def space(self) -> FillSpace:
        """Return its fills on the standard kit."""
        return FillSpace(Bar.from_counts(self.counts), RuleSet.from_json(list(self.rules)), KIT)


CASES = (
    LikenessCase(
        "1 & 2 e & a 3 & 4 e & a",
        [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]}],
    ),
    LikenessCase(
        "1 e & a 2 & 3 e & a 4 &",
        [{"rule": "placement", "values": ["16th"], "surfaces": ["snare"]}],
    ),
    LikenessCase("1 e & a 2 e & a 3 e & a 4 e & a", []),
    LikenessCase(
        "1 trip let 2 trip let 3 trip let 4 trip let",
        [{"rule": "placement", "surfaces": ["snare", "toms", "cymbals"]}],
    ),
    LikenessCase("1 & a 2 & a 3 & a 4 & a", []),
    LikenessCase(
        "1 e & a 2 e & a 3 e & a 4 e & a", [{"rule": "sticking", "rudiment": "single paradiddle"}]
    ),
    LikenessCase("1 e & 2 e & 3 e & 4 e &", [{"rule": "at most in a row", "n": 2}]),
    LikenessCase(
        "1 & 2 & 3 e & a 4 e & a",
        [
            {"rule": "start on", "surfaces": ["snare"]},
            {"rule": "end on", "surfaces": ["toms"]},
        ],
    ),
    LikenessCase("1 (e) & a 2 e (&) a 3 & 4 e & a", []),
    LikenessCase("1 trip let 2 & 3 trip let 4 &", []),
    LikenessCase(
        "1 e & a 2 e & a 3 e & a 4 e & a",
        [{"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}],
    ),
    LikenessCase(
        "1 & 2 (&) 3 & 4 e & a",
        [{"rule": "placement", "values": ["eighth"], "surfaces": ["snare", "toms"]}],
    ),
)
