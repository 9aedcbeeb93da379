"""What a new studio starts with: bars of our own making, and the method as a ladder."""

from typing import Any

from django.db import transaction

from rhythms.models import Ladder, LadderStep, RuleSet, SourceBar
from studio.models import Studio

#: Name, meter, count line: first the bar that the ladder is tried on, then from quarters to
#: 16th triplets, then other meters.
BARS = (
    ("Eighths and 16ths by turns", "4/4", "1 & 2 e & a 3 & 4 e & a"),
    ("Quarters", "4/4", "1 2 3 4"),
    ("Eighths", "4/4", "1 & 2 & 3 & 4 &"),
    ("Eighths, accents off the beat", "4/4", "1 &> 2 &> 3 &> 4 &>"),
    ("Eighth and two 16ths", "4/4", "1 & a 2 & a 3 & a 4 & a"),
    ("Two 16ths and eighth", "4/4", "1 e & 2 e & 3 e & 4 e &"),
    ("16ths", "4/4", "1 e & a 2 e & a 3 e & a 4 e & a"),
    ("16ths, every third accented", "4/4", "1> e & a> 2 e &> a 3 e> & a 4> e & a>"),
    ("Dotted eighths and 16ths", "4/4", "1 a 2 a 3 & 4 e & a"),
    ("Rests on the beats", "4/4", "(1) & (2) e & a (3) & (4) e & a"),
    ("Pushed across the middle", "4/4", "1 & 2 & - & 4 e & a"),
    ("Eighth triplets", "4/4", "1 trip let 2 trip let 3 trip let 4 trip let"),
    ("Triplets and eighths", "4/4", "1 trip let 2 & 3 trip let 4 &"),
    (
        "Eighths and 16th triplets",
        "4/4",
        "1 & 2 trip let & trip let 3 & 4 trip let & trip let",
    ),
    ("Three beats, 16ths at the end", "3/4", "1 & 2 & 3 e & a"),
    ("Six-eight, 16ths in the second half", "6/8", "1 2 3 4 & 5 & 6 &"),
    ("Seven-eight, two and two and three", "7/8", "1 & 2 3 & 4 5 & 6 7"),
)

_EIGHTHS, _16THS = {"values": ["eighth"]}, {"values": ["16th"]}
_ALL_SNARE = {"rule": "placement", "surfaces": ["snare"]}
_EIGHTHS_SNARE = {"rule": "placement", **_EIGHTHS, "surfaces": ["snare"]}
_16THS_ANYWHERE = {"rule": "placement", **_16THS, "surfaces": ["anything"]}
_PARADIDDLE = {
    "rule": "sticking",
    **_16THS,
    "rudiment": "single paradiddle",
    "lead": "R",
    "follow": "notes",
    "restart": "never",
    "others": "alternate",
    "accents": "rudiment",
}

LADDER = ("The five steps", "One bar, five ways: each step keeps what the one before taught.")

#: Name, note, rules.
STEPS: tuple[tuple[str, str, list[dict[str, Any]]], ...] = (
    (
        "Learn the bar",
        "The rhythm alone, until it needs no thought.",
        [_ALL_SNARE],
    ),
    (
        "Eighths on the snare, 16ths anywhere",
        "The slow notes hold the time, the quick ones travel.",
        [_EIGHTHS_SNARE, _16THS_ANYWHERE],
    ),
    (
        "16ths on the snare, eighths away from it",
        "The opposite: the slow notes travel.",
        [
            {"rule": "placement", **_EIGHTHS, "surfaces": ["toms", "cymbals", "cowbell"]},
            {"rule": "placement", **_16THS, "surfaces": ["snare"]},
        ],
    ),
    (
        "Paradiddle on the 16ths, all on the snare",
        "A new sticking on a rhythm that is known.",
        [_PARADIDDLE, _ALL_SNARE],
    ),
    (
        "Paradiddle on the 16ths, round the kit",
        "The sticking stays, the 16ths travel.",
        [_PARADIDDLE, _EIGHTHS_SNARE, _16THS_ANYWHERE],
    ),
)


@transaction.atomic
def seed(studio: Studio) -> Ladder:
    """Give a new studio the bars, and the five rule sets as a ladder; returns the ladder."""
    SourceBar.objects.bulk_create(
        SourceBar(studio=studio, name=name, meter=meter, counts=counts)
        for name, meter, counts in BARS
    )
    rule_sets = RuleSet.objects.bulk_create(
        RuleSet(studio=studio, name=name, note=note, rules=rules) for name, note, rules in STEPS
    )
    name, note = LADDER
    ladder = Ladder.objects.create(studio=studio, name=name, note=note)
    LadderStep.objects.bulk_create(
        LadderStep(ladder=ladder, rule_set=rule_set, position=position)
        for position, rule_set in enumerate(rule_sets, start=1)
    )
    return ladder
