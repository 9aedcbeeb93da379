"""Rule sets that teachers ask for, to begin with: all of common practice."""

from typing import Any, NamedTuple


class Preset(NamedTuple):
    """A rule set by name; `note` is what it is for."""

    slug: str
    name: str
    note: str
    rules: list[dict[str, Any]]


_EIGHTHS, _16THS = {"values": ["eighth"]}, {"values": ["16th"]}
_ACCENTS, _OTHERS = {"accent": "accented"}, {"accent": "not accented"}
_SNARE = {"rule": "placement", "surfaces": ["snare"]}
_HAND_TO_HAND = {
    "rudiment": "single stroke roll",
    "lead": "R",
    "follow": "grid",
    "restart": "never",
    "others": "alternate",
}

PRESETS = (
    Preset(
        "accents-on-toms",
        "Accents on the toms, the rest ghosted on the snare",
        "For a bar with accents: the loud notes travel, the soft ones stay.",
        [
            {"rule": "placement", **_ACCENTS, "surfaces": ["toms"]},
            {"rule": "placement", **_OTHERS, "surfaces": ["snare"]},
            {"rule": "dynamics", **_OTHERS, "dynamic": "ghost"},
        ],
    ),
    Preset(
        "right-stays-on-ride",
        "The right hand stays on the ride",
        "Hand to hand: the left plays what comes between, on the snare and the toms.",
        [
            {"rule": "hand stays", "hand": "R", "surfaces": ["ride"]},
            {"rule": "hand stays", "hand": "L", "surfaces": ["snare", "toms"]},
            # Without it most fills would be for one hand, and some never touch the ride.
            {"rule": "sticking", **_HAND_TO_HAND},
        ],
    ),
    Preset(
        "both-hands-on-accents",
        "Both hands together on the accents",
        "Snare and floor tom at once, for a bar with accents.",
        [
            {"rule": "placement", **_OTHERS, "surfaces": ["snare", "toms"]},
            {"rule": "both hands", **_ACCENTS, "one": ["snare"], "other": ["floor tom"]},
        ],
    ),
    Preset(
        "crash-with-bass-drum",
        "The bass drum under every crash",
        "As crashes are played in a band.",
        [
            {"rule": "placement", "position": "on the beat", "surfaces": ["crash"]},
            {"rule": "placement", "position": "off the beat", "surfaces": ["snare", "toms"]},
            {"rule": "foot under", "foot": "bass drum", "surfaces": ["crash"]},
        ],
    ),
    Preset(
        "groups-3-3-2",
        "Groups of 3, 3 and 2",
        "One surface marks the groups across the beat.",
        [
            {"rule": "placement", "surfaces": ["snare", "toms"]},
            {"rule": "groups", "n": 3, "pattern": "3-3-2"},
        ],
    ),
    Preset(
        "groups-of-5",
        "Groups of five",
        "One surface marks every fifth stroke.",
        [{"rule": "placement", "surfaces": ["snare", "toms"]}, {"rule": "groups", "n": 5}],
    ),
    Preset(
        "call-and-response",
        "Call and response",
        "The bar is played as it is printed; the answer is the student’s own.",
        [
            {"rule": "placement", **_EIGHTHS, "surfaces": ["snare"]},
            {"rule": "placement", **_16THS, "surfaces": ["snare", "toms"]},
            {"rule": "own answer"},
        ],
    ),
    Preset(
        "other-feet-samba",
        "Same rhythm, other feet: samba",
        "The hands play the bar they know over feet that go on.",
        [_SNARE, {"rule": "feet keep going", "pattern": "samba"}],
    ),
    Preset(
        "other-feet-four-on-the-floor",
        "Same rhythm, other feet: four on the floor",
        "The hands play the bar they know over feet that go on.",
        [_SNARE, {"rule": "feet keep going", "pattern": "four on the floor"}],
    ),
    Preset(
        "backwards",
        "Play it backwards",
        "The rhythm from its end to its start, on the snare first.",
        [_SNARE, {"rule": "play backwards"}],
    ),
    Preset(
        "start-on-the-and",
        "Start on the &",
        "The rhythm an eighth later, on the snare first.",
        [_SNARE, {"rule": "start later"}],
    ),
    Preset(
        "open-hi-hat-off-the-beat",
        "Off the beat on the open hi-hat",
        "Eighths on the beat on the snare.",
        [
            {
                "rule": "placement",
                **_EIGHTHS,
                "position": "off the beat",
                "surfaces": ["open hi-hat"],
            },
            {"rule": "placement", **_EIGHTHS, "position": "on the beat", "surfaces": ["snare"]},
            {"rule": "placement", **_16THS, "surfaces": ["snare", "toms"]},
        ],
    ),
    Preset(
        "phrase-of-four",
        "A phrase of four bars",
        "The fill at its end, and its last beat half-way.",
        [
            {"rule": "placement", **_EIGHTHS, "surfaces": ["snare"]},
            {"rule": "placement", **_16THS, "surfaces": ["snare", "toms"]},
            {"rule": "phrase", "bars": "4", "smaller": 1},
        ],
    ),
)
BY_SLUG = {preset.slug: preset for preset in PRESETS}
