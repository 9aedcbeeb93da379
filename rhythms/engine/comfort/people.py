"""What other drummers do in their fills: the people that a student's playing stands beside."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from rhythms.engine.comfort.trait_table import stats_from_json, stats_to_json
from rhythms.engine.comfort.trait_tests import TraitStats
from rhythms.engine.comfort.traits import Trait

FILE = Path(__file__).parent / "people.json"
#: The traits of one person.
Person = Mapping[Trait, TraitStats]
#: A trait that came in fewer fills of a person is left out of the file: it is none of theirs.
_FEWEST_FILLS = 2


@lru_cache(maxsize=1)
def people() -> dict[str, Person]:
    """The drummers that come with the project, by name. Counts of the Groove MIDI Dataset."""
    return people_from_json(json.loads(FILE.read_text(encoding="utf-8")))


def people_from_json(data: Mapping[str, Any]) -> dict[str, Person]:
    """The inverse of ``people_to_json``."""
    return {one["name"]: stats_from_json(one["traits"]) for one in data["people"]}


def people_to_json(found: Mapping[str, Person]) -> dict[str, Any]:
    """Traits as ``[kind, words, takes, mean, variance]``, in order."""
    return {
        "people": [
            {"name": name, "traits": sorted(stats_to_json(_worth_keeping(person)), key=str)}
            for name, person in sorted(found.items())
        ]
    }


def stats_of_people(trait: Trait, persons: Iterable[Person]) -> list[TraitStats]:
    """What each of some people does; who never did what is counted, did it in none of their fills.

    Empty where nobody has what is an amount.
    """
    found = []
    for person in persons:
        if trait in person:
            found.append(person[trait])
        elif not trait.is_amount and person:
            found.append(TraitStats(max(one.units for one in person.values()), 0.0, 0.0))
    return found


def _worth_keeping(person: Person) -> dict[Trait, TraitStats]:
    return {
        trait: stats
        for trait, stats in person.items()
        if trait.is_amount or stats.units * stats.mean >= _FEWEST_FILLS
    }
