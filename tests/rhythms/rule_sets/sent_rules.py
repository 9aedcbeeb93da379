"""Rules as the form sends them, and as they are stored."""

import re

EIGHTHS_ON_SNARE = {"r0-values": ["eighth"], "r0-surfaces_way": "", "r0-surfaces_names": ["snare"]}
PARADIDDLE = {
    "r1-values": ["16th"],
    "r1-rudiment": "single paradiddle",
    "r1-lead": "R",
    "r1-follow": "notes",
    "r1-restart": "never",
    "r1-others": "alternate",
    "r1-accents": "bar",
}
BOTH_RULES = EIGHTHS_ON_SNARE | PARADIDDLE | {"rule": ["r0:placement", "r1:sticking"]}
STORED = [
    {"rule": "placement", "values": ["eighth"], "surfaces": ["snare"]},
    {
        "rule": "sticking",
        "values": ["16th"],
        "rudiment": "single paradiddle",
        "lead": "R",
        "follow": "notes",
        "restart": "never",
        "others": "alternate",
    },
]
#: Snare and toms at once on the accents, the bass drum under crashes.
TOGETHER_ROWS = ["r0:both hands", "r1:foot under"]
TOGETHER = {
    "r0-accent": "accented",
    "r0-one_way": "",
    "r0-one_names": ["snare"],
    "r0-other_way": "",
    "r0-other_names": ["toms"],
    "r0-n": "",
    "r1-foot": "bass drum",
    "r1-surfaces_way": "",
    "r1-surfaces_names": ["crash"],
    "r1-when": "always",
    "rule": TOGETHER_ROWS,
}
STORED_TOGETHER = [
    {"rule": "both hands", "accent": "accented", "one": ["snare"], "other": ["toms"]},
    {"rule": "foot under", "foot": "bass drum", "surfaces": ["crash"]},
]


def rows_of(html: str) -> list[str]:
    """The rule rows of a page, in order, as they would be sent."""
    return re.findall(r'name="rule" value="([^"]+)"', html)
