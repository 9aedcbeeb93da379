"""How much random work a test does: little by default, all of it with `--thorough`.

A law that is tried on random cases says how many it wants in the thorough run; the quick run
takes a share of them, or what the test says where its cases are cheap and carry much:

    @examples(600, quick=150)
    @given(bars())
    def test_…

A law that says nothing is tried on `EXAMPLES`. Numbers of other work (rounds, seeds, files) are
chosen by `amount(thorough, quick)`.
"""

from collections.abc import Iterable
from typing import NamedTuple, TypeVar

import hypothesis
import pytest
from _pytest.mark import ParameterSet

T = TypeVar("T")


class Examples(NamedTuple):
    """How many random cases a law is tried on that does not say so itself."""

    thorough: int = 100
    quick: int = 12


EXAMPLES = Examples()
#: The quick run tries at least this many of the cases that a law asks for.
FEWEST = 8
THOROUGH = False


def choose(*, thorough: bool) -> None:
    """Say which run this is; from the options, before the test modules are read."""
    global THOROUGH  # noqa: PLW0603
    THOROUGH = thorough
    hypothesis.settings.register_profile(
        "thorough" if thorough else "quick",
        max_examples=amount(EXAMPLES.thorough, EXAMPLES.quick),
        # Machines differ in speed, and random cases in luck; neither is a failure.
        deadline=None,
        suppress_health_check=[
            hypothesis.HealthCheck.too_slow,
            hypothesis.HealthCheck.filter_too_much,
        ],
        # No run leans on what another one, or another process, has kept.
        database=None,
    )
    hypothesis.settings.load_profile("thorough" if thorough else "quick")


def amount(thorough: T, quick: T) -> T:
    """Return the number for this run."""
    return thorough if THOROUGH else quick


def thorough_only(cases: Iterable[T]) -> list[ParameterSet]:
    """Return the cases as parameters that the quick run leaves out."""
    return [pytest.param(case, marks=pytest.mark.law) for case in cases] if THOROUGH else []


def examples(thorough: int, quick: int | None = None, **others) -> hypothesis.settings:
    """Return hypothesis settings for a law; without `quick`, its share of the thorough run's."""
    share = max(min(FEWEST, thorough), thorough * EXAMPLES.quick // EXAMPLES.thorough)
    return hypothesis.settings(max_examples=amount(thorough, quick or share), **others)
