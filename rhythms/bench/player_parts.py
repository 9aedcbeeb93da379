"""What was measured of human files, taken together: all, by player, and the half held back."""

from collections.abc import Iterator, Sequence
from typing import Protocol, TypeVar


class Measured(Protocol):
    """What was measured of one file, and who played it."""

    @property
    def player(self) -> str:
        """Their name in the list of files."""
        ...


Of = TypeVar("Of", bound=Measured)


def parts_of(all_of_it: str, found: Sequence[Of]) -> Iterator[tuple[str, list[Of]]]:
    """All, each player, and every other file: constants were chosen by the first half of them."""
    yield all_of_it, list(found)
    for player in sorted({one.player for one in found}):
        yield f"  {player}", [one for one in found if one.player == player]
    yield "  every other one", list(found[::2])
    yield "  the others, held back", list(found[1::2])
