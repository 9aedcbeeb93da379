"""Comfort zones as JSON, to be kept: what was worked out once is read by every page."""

from __future__ import annotations

from dataclasses import astuple
from datetime import date
from typing import Any

from rhythms.engine.comfort.clusters import Cluster
from rhythms.engine.comfort.facts import Fact
from rhythms.engine.comfort.habits import MoveMade
from rhythms.engine.comfort.traits import Trait
from rhythms.engine.comfort.variety_estimate import Estimate
from rhythms.engine.comfort.zone import Zone, ZoneSummary
from rhythms.engine.fills.fill import Fill
from rhythms.engine.kits.surfaces import Surface

#: More clusters than these are no favourites; the others are not kept.
MOST_CLUSTERS = 6


def estimate_to_json(estimate: Estimate | None) -> list[float] | None:
    """``[value, low, high, takes]``."""
    if estimate is None:
        return None
    return [estimate.value, estimate.low, estimate.high, estimate.takes]


def estimate_from_json(data: list[float] | None) -> Estimate | None:
    """The inverse of ``estimate_to_json``."""
    return None if data is None else _estimate(data)


def zone_to_json(zone: Zone) -> dict[str, Any]:
    """All of a zone but the clusters after the first ``MOST_CLUSTERS``."""
    return {
        "takes": zone.takes,
        "fills": zone.fills,
        "seconds": zone.seconds,
        "variety": estimate_to_json(zone.variety),
        "room": zone.room,
        "clusters": [_cluster_to_json(one) for one in zone.clusters[:MOST_CLUSTERS]],
        "moves": [_move_to_json(move) for move in zone.moves],
        "unused": [str(surface) for surface in zone.unused],
        "stickings": None if zone.stickings is None else list(zone.stickings),
        "facts": [_fact_to_json(one) for one in zone.facts],
    }


def zone_from_json(data: dict[str, Any]) -> Zone:
    """The inverse of ``zone_to_json``. Raises KeyError, TypeError, ValueError for what is none."""
    return Zone(
        data["takes"],
        data["fills"],
        data["seconds"],
        _estimate(data["variety"]),
        data["room"],
        tuple(_cluster_from_json(one) for one in data["clusters"]),
        tuple(_move_from_json(one) for one in data["moves"]),
        tuple(Surface(name) for name in data["unused"]),
        None if data["stickings"] is None else tuple(data["stickings"]),
        tuple(_fact_from_json(one) for one in data["facts"]),
    )


def summary_to_json(summary: ZoneSummary) -> dict[str, Any]:
    """What lists say, by name; about a kilobyte."""
    return {
        "takes": summary.takes,
        "variety": estimate_to_json(summary.variety),
        "room": summary.room,
        "favourite_share": summary.favourite_share,
        "most_played": summary.most_played,
        "most_played_since": summary.most_played_since.isoformat(),
        "habit": None if summary.habit is None else _move_to_json(summary.habit),
        "unused": [str(surface) for surface in summary.unused],
        "facts": [_fact_to_json(one) for one in summary.facts],
        "sentences": list(summary.sentences),
        "fallen_back_on": list(summary.fallen_back_on),
    }


def summary_from_json(data: dict[str, Any]) -> ZoneSummary:
    """The inverse of ``summary_to_json``. Raises as ``zone_from_json`` does."""
    return ZoneSummary(
        data["takes"],
        _estimate(data["variety"]),
        data["room"],
        data["favourite_share"],
        data["most_played"],
        date.fromisoformat(data["most_played_since"]),
        None if data["habit"] is None else _move_from_json(data["habit"]),
        tuple(Surface(name) for name in data["unused"]),
        tuple(_fact_from_json(one) for one in data["facts"]),
        tuple(data["sentences"]),
        tuple(data["fallen_back_on"]),
    )


def _estimate(data: list[float]) -> Estimate:
    value, low, high, takes = data
    return Estimate(value, low, high, int(takes))


def _cluster_to_json(one: Cluster) -> dict[str, Any]:
    return {
        "typical": one.typical.to_json(),
        "take": one.take,
        "kinds": one.kinds,
        "share": one.share,
        "takes": one.takes,
        "since": one.since.isoformat(),
    }


def _cluster_from_json(data: dict[str, Any]) -> Cluster:
    return Cluster(
        Fill.from_json(data["typical"]),
        data["take"],
        data["kinds"],
        data["share"],
        data["takes"],
        date.fromisoformat(data["since"]),
    )


def _move_to_json(move: MoveMade) -> list[Any]:
    return [str(move.origin), str(move.target), *astuple(move)[2:]]


def _move_from_json(data: list[Any]) -> MoveMade:
    origin, target, *numbers = data
    return MoveMade(Surface(origin), Surface(target), *numbers)


def _fact_to_json(fact: Fact) -> list[Any]:
    kind_and_words, *numbers = astuple(fact)
    return [*kind_and_words, *numbers]


def _fact_from_json(data: list[Any]) -> Fact:
    kind, words, *numbers = data
    return Fact(Trait(kind, words), *numbers)
