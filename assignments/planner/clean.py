"""When practice counts as clean."""

from fractions import Fraction

#: Of the times through, so many must be clean: four in a row, or one slip in four.
CLEAN_SHARE = Fraction(3, 4)


def came_out_clean(loops: int, clean_loops: int) -> bool:
    """Whether a fill came out clean: at least three of four times through."""
    return clean_loops >= CLEAN_SHARE * loops
