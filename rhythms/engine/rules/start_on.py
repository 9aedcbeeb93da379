"""Start on: where the first stroke goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rhythms.engine.rules.ends import End


@dataclass(frozen=True)
class StartOn(End):
    """The first stroke goes to ``surfaces``."""

    name: ClassVar[str] = "start on"
    title: ClassVar[str] = "First stroke"
    verb: ClassVar[str] = "start"
    last: ClassVar[bool] = False
