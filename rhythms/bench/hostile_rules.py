"""Rule sets and bars that a form can send and that remember as much as they can; seeded."""

from random import Random
from typing import Any

from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from rhythms.engine.kits.surfaces import FAMILIES, KIT_SURFACES
from rhythms.engine.rudiments.overlays import STICKINGS

_NAMES = [str(name) for name in (*KIT_SURFACES, *FAMILIES)]
_EIGHT = [str(surface) for surface in Kit.standard().hand_surfaces]
_BEATS = {"triplets": "{} trip let & trip let", "16ths": "{} e & a", "quarters": "{}"}
_COUNTS = [f"{beat}{part}" for beat in range(1, 16) for part in ("", " e", " &", " a", " trip")]
_VALUES = ["16th", "eighth", "16th triplet", "quarter"]
#: How the notes of a bar come, its beats, and how many bars.
_BARS = (
    ("triplets", 4, 1),
    ("triplets", 4, 2),
    ("triplets", 9, 2),
    ("triplets", 15, 1),
    ("16ths", 15, 1),
    ("16ths", 7, 2),
    ("16ths", 2, 1),
    ("quarters", 2, 1),
)
_WATCHERS: tuple[dict[str, Any], ...] = (
    {"rule": "hands apart"},
    {"rule": "no hand crosses"},
    {"rule": "doubles together"},
    {"rule": "alternate families"},
    {"rule": "answer"},
    {"rule": "answer", "keeps": "moves"},
)


def hostile_space(seed: int, *, together: bool = False) -> FillSpace:
    """Return the space of one to sixty rules on a bar of up to 108 notes.

    With `together` up to four more put both hands on many surfaces at once, and feet under them.
    """
    random = Random(seed)  # noqa: S311 - the same each time
    many = random.choice((1, 2, 3, 3, 4, 5, 6, 8, 10, 20, 60))
    how, beats, bars = random.choice(_BARS)
    line = " ".join(_BEATS[how].format(beat) for beat in range(1, beats + 1))
    bar = Bar.from_counts(" | ".join([line] * bars), f"{beats}/4")
    kit = random.choice((Kit(KIT_SURFACES), Kit.standard()))
    rules = [_rule(random) for _ in range(many)]
    more = [_together(random) for _ in range(random.randint(1, 4))] if together else []
    return FillSpace(bar, RuleSet.from_json((more + rules)[:60]), kit)


def eight_forbidden(ways: int) -> FillSpace:
    """Return one note of which eight surfaces are forbidden, each in up to four ways."""
    scopes: tuple[dict[str, Any], ...] = (
        {},
        {"values": ["quarter"]},
        {"position": "on the beat"},
        {"counts": ["1"]},
    )
    rules = [
        {"rule": "placement", "surfaces": {"anything but": [surface]}, **scope}
        for surface in _EIGHT
        for scope in scopes[:ways]
    ]
    return FillSpace(Bar.from_counts("1", "1/4"), RuleSet.from_json(rules), Kit.standard())


def _rule(random: Random) -> dict[str, Any]:
    kinds = (_number_of_marks, _number_of_marks, _watcher, _watcher, _bounded_watcher, _filter)
    return random.choice(kinds)(random)


def _scope(random: Random) -> dict[str, Any]:
    parts: dict[str, Any] = {
        "values": random.sample(_VALUES, 2),
        "position": random.choice(["on the beat", "off the beat"]),
        "counts": random.sample(_COUNTS, random.randint(2, 60)),
    }
    return {name: part for name, part in parts.items() if random.random() < 0.3}


def _surfaces(random: Random) -> Any:
    names = random.sample(_NAMES, random.randint(1, 6))
    return {"anything but": names} if random.random() < 0.5 else names


def _number_of_marks(random: Random) -> dict[str, Any]:
    marks = random.choice(
        (
            {"rule": "dynamics", "dynamic": random.choice(("accent", "ghost"))},
            {"rule": "ornament", "ornament": random.choice(("flam", "drag")), "lead": "either"},
        )
    )
    return {**marks, "n": random.randint(0, 64), **_scope(random)}


def _watcher(random: Random) -> dict[str, Any]:
    return random.choice(_WATCHERS)


def _bounded_watcher(random: Random) -> dict[str, Any]:
    return random.choice(
        (
            {"rule": "visit at least", "surfaces": random.randint(1, 14)},
            {"rule": "use at most", "surfaces": random.randint(1, 14)},
            {"rule": "at most in a row", "n": random.randint(1, 64)},
            {"rule": "break the path", "k": random.randint(2, 64), "repeats": "goes on"},
            {"rule": "groups", "n": random.randint(3, 7)},
            {"rule": "round the kit", "way": "down", "drums": random.randint(2, 4)},
        )
    )


def _together(random: Random) -> dict[str, Any]:
    both = {"rule": "both hands", "one": ["anything"], "other": {"anything but": ["snare"]}}
    under = {"rule": "foot under", "surfaces": ["anything"], "when": "maybe"}
    return random.choice(
        (
            {**both, "n": random.randint(0, 64), **_scope(random)},
            {**both, **_scope(random)},
            {**under, "foot": random.choice(("bass drum", "hi-hat foot")), **_scope(random)},
        )
    )


def _filter(random: Random) -> dict[str, Any]:
    return random.choice(
        (
            {"rule": "placement", "surfaces": _surfaces(random), **_scope(random)},
            {"rule": "start on", "surfaces": _surfaces(random)},
            {
                "rule": "sticking",
                "rudiment": random.choice(sorted(STICKINGS)),
                "others": random.choice(("alternate", "free")),
                **_scope(random),
            },
            {"rule": "feet", "on": "notes", "foot": "either foot", **_scope(random)},
            {"rule": "linear", "pattern": "RLFH", **_scope(random)},
        )
    )
