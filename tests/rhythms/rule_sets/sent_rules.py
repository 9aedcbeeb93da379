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


def rows_of(html: str) -> list[str]:
    """The rule rows of a page, in order, as they would be sent."""
    return re.findall(r'name="rule" value="([^"]+)"', html)
