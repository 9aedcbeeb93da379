"""Trying rules on a bar and a kit: how many fills there are, and what some look like."""

from dataclasses import dataclass
from functools import cached_property

from django.utils.safestring import SafeString

from rhythms import engine
from rhythms.engine import Fill, FillSpace
from rhythms.engine.errors import EngineError
from rhythms.engine.space.conflict import conflict_in_words
from rhythms.fill_spaces import engine_kit, space_for
from rhythms.models import SourceBar
from rhythms.renderings.display import inline_svg, legend_of
from rhythms.space_sizes import in_words
from studio.models import Kit

EXAMPLES = 3
RIGHT, LEFT = "right", "left"


@dataclass(frozen=True)
class RulesPreview:
    """``hands`` is "right" or "left"; ``seed`` chooses the examples."""

    rules: engine.RuleSet
    bar: SourceBar
    kit: Kit | None
    hands: str
    seed: int

    @cached_property
    def space(self) -> FillSpace:
        """The fills; on a standard kit where the studio has none."""
        left_handed = self.hands == LEFT
        if self.kit is None:
            return space_for(self.bar, self.rules, engine.Kit.standard(left_handed=left_handed))
        return space_for(self.bar, self.rules, engine_kit(self.kit, left_handed))

    @cached_property
    def too_large(self) -> str:
        """What to do where the fills cannot be counted in time; "" where they can."""
        try:
            _ = self.space.size
        except EngineError as error:
            return error.message
        return ""

    @property
    def size_in_words(self) -> str:
        """``16,777,216 fills: at one a minute, 32 years``."""
        return in_words(self.space.size)

    @property
    def clash(self) -> str:
        """Why there is no fill; "" where there is one."""
        return conflict_in_words(self.space)

    @cached_property
    def examples(self) -> tuple[Fill, ...]:
        """A few fills, or all where there are fewer."""
        return self.space.sample(min(EXAMPLES, self.space.size), self.seed)

    def drawings(self) -> list[SafeString | None]:
        """The examples, engraved."""
        return [inline_svg(fill, f"example-{number}") for number, fill in enumerate(self.examples)]

    def legend(self) -> list[tuple[str, SafeString]]:
        """The surfaces that the examples use."""
        return legend_of(*self.examples)

    @property
    def next_seed(self) -> int | None:
        """The seed of other examples; None where these are all there is."""
        return self.seed + 1 if self.space.size > EXAMPLES else None
