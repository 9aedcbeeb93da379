"""Five hundred fills that between them need every rule there is: the same ones each time.

The quick run takes the first 125 of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import islice
from random import Random

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet
from rhythms.engine.errors import TooManyStatesError
from rhythms.engine.kits.surfaces import KIT_SURFACES, WAYS
from rhythms.engine.rules import REGISTRY
from tests.thoroughness import amount

#: Every meter, value class and rest; ties; triplets on and off the beat; five and six to a quarter.
BARS = [
    Bar.from_counts(line, meter)
    for line, meter in [
        ("1 & 2 e & a 3 & 4 e & a", "4/4"),
        ("1 trip let 2 & 3 e & 4 trip -& trip let", "4/4"),
        ("1 e (&) a (2) & 3 (e) & a 4 (trip) let", "4/4"),
        ("1 trip let & trip let 2 3 -& trip let 4", "4/4"),
        ("1 - & 3> - & a", "4/4"),
        ("1 & - 3 4 e & a", "4/4"),
        ("1 ta e ta & ta a ta 2 (&) a ta", "2/4"),
        ("1 ka di (mi) ti 2 e & trip let 3 -ka ti", "3/4"),
        ("1 2 & 3 4 5 trip let 6 e & a 7", "7/8 (3+2+2)"),
        ("1 & - 3 & - (5)", "5/4 (3+2)"),
        ("(1) e & a 2 -", "2/4"),
        ("1> & 2 e & a> 3 (&)", "3/4"),
        ("1 & 2 trip let 3 4 e a 5 &", "5/4"),
        ("1 2 & 3 4 (5) & 6", "6/8"),
        ("1 -2 & 3 & 4 5 6 7 &", "7/8"),
        ("1 & 2 3 4 5 6 - 8 & 9", "9/8"),
        ("1 2 3 4 & 5 6 7 -8 & 9 10 11 (12)", "12/8"),
    ]
]
KITS = [Kit(KIT_SURFACES, left_handed=left) for left in (False, True)]

#: Every rule at least once, alone or with others that make it matter.
RULES: dict[str, list[list[dict]]] = {
    "placement": [
        [{"rule": "placement", "surfaces": ["toms", "cymbals", "bells"]}],
        [{"rule": "placement", "surfaces": ["hi-hat", *map(str, WAYS)]}],
    ],
    "sticking": [
        [{"rule": "sticking", "rudiment": rudiment, "others": "alternate", "accents": "rudiment"}]
        for rudiment in ("single paradiddle", "flam drag")
    ],
    "dynamics": [
        [
            {"rule": "dynamics", "dynamic": "ghost", "n": 2},
            {"rule": "dynamics", "dynamic": "accent", "n": 2},
        ]
    ],
    "ornament": [
        [{"rule": "ornament", "ornament": ornament, "n": 2}]
        for ornament in ("flam", "drag", "diddle", "buzz")
    ],
    "both hands": [
        [
            {"rule": "both hands", "one": ["snare"], "other": ["toms", "cymbals"], "n": 2},
            {"rule": "foot under", "surfaces": ["cymbals"]},
        ]
    ],
    "foot under": [
        [
            {"rule": "foot under", "surfaces": ["anything"], "when": "maybe"},
            {"rule": "foot under", "foot": "hi-hat foot", "surfaces": ["ride", "ride bell"]},
        ]
    ],
    "feet": [
        [{"rule": "feet", "on": "rests", "foot": "either foot"}],
        [{"rule": "feet", "on": "notes", "position": "off the beat", "foot": "bass drum"}],
    ],
    "feet keep going": [
        [{"rule": "feet keep going", "pattern": "four on the floor"}],
        [
            {"rule": "feet keep going", "pattern": "four on the floor"},
            {"rule": "feet", "on": "rests", "foot": "bass drum"},
        ],
    ],
    "linear": [
        [{"rule": "linear", "pattern": "RLFF"}, {"rule": "ornament", "ornament": "flam", "n": 1}]
    ],
    "at most in a row": [[{"rule": "at most in a row", "n": 1}]],
    "hands apart": [[{"rule": "hands apart"}]],
    "no hand crosses": [[{"rule": "no hand crosses"}]],
    "break the path": [[{"rule": "break the path", "k": 3}]],
    "visit at least": [[{"rule": "visit at least", "surfaces": 3}]],
    "use at most": [[{"rule": "use at most", "surfaces": 3}]],
    "alternate families": [[{"rule": "alternate families"}]],
    "doubles together": [[{"rule": "doubles together"}]],
    "start on": [[{"rule": "start on", "surfaces": ["crash"]}]],
    "end on": [[{"rule": "end on", "surfaces": ["floor tom"]}]],
    "groups": [[{"rule": "groups", "n": 3}]],
    "round the kit": [[{"rule": "round the kit", "way": "down", "drums": 3}]],
    "answer": [[{"rule": "answer"}], [{"rule": "answer", "keeps": "moves"}]],
    "hand stays": [[{"rule": "hand stays", "hand": "R", "surfaces": ["ride"]}]],
    "play backwards": [[{"rule": "play backwards"}]],
    "start later": [[{"rule": "start later"}]],
    "phrase": [[{"rule": "phrase", "bars": "4", "smaller": 1}]],
    "own answer": [[{"rule": "own answer"}]],
}
N = amount(500, 125)


@cache
def fills_of_all_rules() -> tuple[Fill, ...]:
    """``N`` fills, rule by rule in turn, on random bars and kits."""
    assert RULES.keys() == REGISTRY.keys(), "a rule without fills, or fills without a rule"
    return tuple(islice(_fills(), N))


def _fills() -> Iterator[Fill]:
    random = Random(457)
    sets = [RuleSet.from_json(rules) for all_of in RULES.values() for rules in all_of]
    while True:
        for rule_set in sets:
            space = FillSpace(random.choice(BARS), rule_set, random.choice(KITS))
            if _is_countable(space) and space.size:
                yield space.fill(random.randrange(space.size))


def _is_countable(space: FillSpace) -> bool:
    """An answer in a long bar is too much on a kit of everything."""
    try:
        return space.size >= 0
    except TooManyStatesError:
        return False
