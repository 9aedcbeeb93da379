"""What was learned from human fills: a table for each player, and the ratio of phrases."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from rhythms.engine.prior.phrase_ratio import PhraseRatio
from rhythms.engine.prior.phrase_traits import TRAITS
from rhythms.engine.prior.played_line import Line
from rhythms.engine.prior.surface_table import Step, SurfaceTable

FILE = Path(__file__).parent / "human_fills.json"
#: Digits of what was learned: enough to draw the same, few enough to read.
_DIGITS = 5


class Player(NamedTuple):
    """Whose fills were learned from, how many, and what they strike next."""

    name: str
    fills: int
    table: SurfaceTable


@dataclass(frozen=True, eq=False)
class Prior:
    """Players, of whom one plays each fill that is drawn, and what phrases they make of it.

    ``runs`` has the length, in strokes, that nineteen of twenty runs on each group of surfaces
    do not pass.
    """

    players: tuple[Player, ...]
    phrase: PhraseRatio
    runs: tuple[int, ...]

    @property
    def fills(self) -> int:
        """How many fills were learned from."""
        return sum(player.fills for player in self.players)

    @property
    def shares(self) -> tuple[float, ...]:
        """How often each of the players plays, by the number of their fills."""
        return tuple(player.fills / self.fills for player in self.players)

    def with_player(self, name: str, lines: Sequence[Line]) -> Prior:
        """One more player, who plays as often as they have lines; without any the prior itself."""
        if not lines:
            return self
        one_more = Player(name, len(lines), SurfaceTable.of(lines))
        return replace(self, players=(*self.players, one_more))

    def to_json(self) -> dict[str, Any]:
        """Steps as ``[before, last, time, place, group, times]``; the ratio trait by trait."""
        return {
            "players": [
                {
                    "name": player.name,
                    "fills": player.fills,
                    "steps": [[*step, times] for step, times in sorted(player.table.steps.items())],
                }
                for player in self.players
            ],
            "runs": list(self.runs),
            "phrase": {
                "traits": list(TRAITS),
                **{
                    name: np.round(getattr(self.phrase, name), _DIGITS).tolist()
                    for name in ("mean", "spread", "weights")
                },
            },
        }

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Prior:
        """The inverse of ``to_json``. Raises ValueError where it was learned with other traits."""
        phrase = data["phrase"]
        if phrase["traits"] != list(TRAITS):
            raise ValueError(f"{FILE.name} was learned with other traits: learn it again.")
        players = (
            Player(
                one["name"],
                one["fills"],
                SurfaceTable({Step(*step): times for *step, times in one["steps"]}),
            )
            for one in data["players"]
        )
        ratio = (np.array(phrase[name]) for name in ("mean", "spread", "weights"))
        return cls(tuple(players), PhraseRatio(*ratio), tuple(data["runs"]))


@lru_cache(maxsize=1)
def human_prior() -> Prior:
    """The prior that comes with the project."""
    return Prior.from_json(json.loads(FILE.read_text(encoding="utf-8")))
