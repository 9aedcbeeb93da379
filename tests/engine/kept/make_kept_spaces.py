"""Writes ``kept_spaces.json``: what stored rule sets, bars and kits gave before strokes could be
together. Run with the code of that time, once (commit dddd832); code of today is held against it.

    python -m tests.engine.kept.make_kept_spaces > tests/engine/kept/kept_spaces.json
"""

from __future__ import annotations

import json
import sys
from itertools import cycle, islice
from random import Random
from typing import Any

from rhythms.engine import Bar, FillSpace, Kit, RuleSet

BARS = [
    ("1 & 2 e & a 3 & 4 e & a", "4/4"),
    ("1> e (&) a> 2 & 3 (e) & a 4 & a", "4/4"),
    ("1 trip let 2 &> 3 trip let & trip let 4 &", "4/4"),
    ("(1) e & a 2 & 3> -& a", "3/4"),
    ("1 2 & 3 4 (5) & 6 &", "6/8"),
    ("1 & 2 3 & 4> 5 (6) 7 &", "7/8"),
]
KITS = [
    (
        "snare, high tom, mid tom, floor tom, hi-hat, ride, crash, cowbell, bass drum, hi-hat foot",
        False,
    ),
    ("snare, floor tom, hi-hat, crash, bass drum", True),
    (
        "snare, high tom, floor tom, hi-hat, ride, ride bell, splash, bass drum, hi-hat foot",
        True,
    ),
]
EIGHTHS, SIXTEENTHS = {"values": ["eighth"]}, {"values": ["16th"]}
#: As they stand in the databases of that time: the starter library's, and others of each kind.
RULE_SETS: list[list[dict[str, Any]]] = [
    [],
    [{"rule": "placement", "surfaces": ["snare"]}],
    [
        {"rule": "placement", **EIGHTHS, "surfaces": ["snare"]},
        {"rule": "placement", **SIXTEENTHS, "surfaces": ["anything"]},
    ],
    [
        {"rule": "placement", **EIGHTHS, "surfaces": ["toms", "cymbals", "cowbell"]},
        {"rule": "placement", **SIXTEENTHS, "surfaces": ["snare"]},
    ],
    [
        {
            "rule": "sticking",
            **SIXTEENTHS,
            "rudiment": "single paradiddle",
            "lead": "R",
            "follow": "notes",
            "restart": "never",
            "others": "alternate",
            "accents": "rudiment",
        },
        {"rule": "placement", **EIGHTHS, "surfaces": ["snare"]},
        {"rule": "placement", **SIXTEENTHS, "surfaces": ["anything"]},
    ],
    [
        {"rule": "sticking", "rudiment": "double paradiddle", "lead": "L", "restart": "beat"},
        {"rule": "placement", "surfaces": {"anything but": ["cymbals", "snare"]}},
    ],
    [
        {
            "rule": "sticking",
            "position": "off the beat",
            "rudiment": "paradiddle-diddle",
            "lead": "R",
            "follow": "grid",
            "restart": "never",
            "others": "grid",
        },
        {"rule": "hands apart"},
    ],
    [
        {"rule": "sticking", **SIXTEENTHS, "rudiment": "double stroke roll", "others": "free"},
        {"rule": "doubles together"},
        {"rule": "no hand crosses"},
    ],
    [
        {"rule": "dynamics", "dynamic": "ghost", "n": 2},
        {"rule": "dynamics", "accent": "accented", "dynamic": "accent"},
        {"rule": "placement", "surfaces": ["snare", "toms"]},
    ],
    [{"rule": "ornament", "ornament": "flam", "lead": "either", "n": 2, **EIGHTHS}],
    [
        {"rule": "ornament", "ornament": "drag", "position": "on the beat", "lead": "R"},
        {"rule": "ornament", "ornament": "diddle", "n": 1, **SIXTEENTHS},
    ],
    [
        {"rule": "feet", "on": "rests", "foot": "either foot"},
        {"rule": "placement", "surfaces": ["snare", "bass drum"]},
    ],
    [{"rule": "feet", "on": "notes", "position": "off the beat", "foot": "bass drum"}],
    [
        {"rule": "linear", "pattern": "RLFF"},
        {"rule": "use at most", "surfaces": 4},
        {"rule": "end on", "surfaces": ["crash", "bass drum"]},
    ],
    [{"rule": "linear", **SIXTEENTHS, "pattern": "RLH"}, {"rule": "alternate families"}],
    [{"rule": "at most in a row", "n": 2}, {"rule": "hands apart"}],
    [
        {"rule": "break the path", "k": 3},
        {"rule": "visit at least", "surfaces": 4},
        {"rule": "start on", "surfaces": ["snare"]},
    ],
    [
        {"rule": "break the path", "k": 2, "repeats": "goes on"},
        {"rule": "placement", "counts": ["1", "2", "3"], "surfaces": ["toms"]},
    ],
    [{"rule": "round the kit", "way": "down", "drums": 2}, {"rule": "use at most", "surfaces": 5}],
    [{"rule": "round the kit", "way": "up", "drums": 2}, {"rule": "at most in a row", "n": 3}],
    [{"rule": "groups", "n": 3}, {"rule": "placement", "surfaces": ["toms", "crash"]}],
    [{"rule": "answer"}, {"rule": "at most in a row", "n": 1}],
    [{"rule": "answer", "keeps": "moves"}, {"rule": "placement", "surfaces": ["snare", "toms"]}],
]
FILLS = 4


def described() -> dict[str, Any]:
    """Bars and kits as they are stored, the strokes that occur, and each space with some fills."""
    bars = [Bar.from_counts(line, meter) for line, meter in BARS]
    kits = [Kit.of(names.split(", "), left_handed=left) for names, left in KITS]
    strokes: dict[str, int] = {}
    # Each rule set on two bars, and each time on another kit.
    places = islice(cycle(range(len(bars))), 2 * len(RULE_SETS))
    spaces = [
        _space(bars, kits, bar, (bar + number) % len(kits), number // 2, strokes)
        for number, bar in enumerate(places)
    ]
    return {
        "bars": [bar.to_json() for bar in bars],
        "kits": [kit.to_json() for kit in kits],
        "rule sets": [RuleSet.from_json(rules).to_json() for rules in RULE_SETS],
        "strokes": [json.loads(stroke) for stroke in strokes],
        "spaces": spaces,
    }


def _space(
    bars: list[Bar], kits: list[Kit], bar: int, kit: int, rules: int, strokes: dict[str, int]
) -> dict[str, Any]:
    space = FillSpace(bars[bar], RuleSet.from_json(RULE_SETS[rules]), kits[kit])
    random = Random(f"{bar} {kit} {rules}")
    ranks = sorted({random.randrange(space.size) for _ in range(FILLS)}) if space.size else []
    fills = []
    for rank in ranks:
        listed = [json.dumps(stroke) for stroke in space.fill(rank).to_json()["strokes"]]
        fills.append([strokes.setdefault(stroke, len(strokes)) for stroke in listed])
    return {
        "bar": bar,
        "kit": kit,
        "rules": rules,
        "size": str(space.size),
        "ranks": [str(rank) for rank in ranks],
        "fills": fills,
        "drawn": [str(space.rank(fill)) for fill in space.sample(min(2, space.size), seed=11)],
    }


if __name__ == "__main__":
    parts = described()
    lines = [
        f"{json.dumps(name)}: [\n" + ",\n".join(json.dumps(one) for one in part) + "\n]"
        for name, part in parts.items()
    ]
    sys.stdout.write("{\n" + ",\n".join(lines) + "\n}\n")
