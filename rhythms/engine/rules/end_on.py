"""End on: where the last stroke goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.rules.ends import End


@dataclass(frozen=True)
class EndOn(End):
    """The last stroke goes to ``surfaces``."""

    name: ClassVar[str] = "end on"
    title: ClassVar[str] = "Last stroke"
    verb: ClassVar[str] = "end"
    last: ClassVar[bool] = True
