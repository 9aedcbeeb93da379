"""The sizes of the starter library's spaces are what they were."""

import pytest

from rhythms.engine import Kit, RuleSet
from rhythms.engine.kits.surfaces import KIT_SURFACES
from rhythms.fill_spaces import space_for
from rhythms.models import SourceBar
from rhythms.starter_library import BARS, STEPS

KITS = {
    "standard": Kit.standard(),
    "left-handed": Kit.standard(left_handed=True),
    "every surface": Kit(KIT_SURFACES),
}
#: As they were counted at commit 41235ca: for each bar, the sizes of the rule sets in their order,
#: on the standard kit (whichever hand leads) and on one of every surface.
SIZES = {
    "Eighths and 16ths by turns": (
        (1, 8**8, 7**4, 1, 8**8),
        (1, 12**8, 6561, 1, 12**8),
    ),
    "Quarters": (
        (1, 8**4, 8**4, 1, 8**4),
        (1, 12**4, 12**4, 1, 12**4),
    ),
    "Eighths": (
        (1, 1, 7**8, 1, 1),
        (1, 1, 43046721, 1, 1),
    ),
    "Eighths, accents off the beat": (
        (1, 1, 7**8, 1, 1),
        (1, 1, 43046721, 1, 1),
    ),
    "Eighth and two 16ths": (
        (1, 8**8, 7**4, 1, 8**8),
        (1, 12**8, 6561, 1, 12**8),
    ),
    "Two 16ths and eighth": (
        (1, 8**8, 7**4, 1, 8**8),
        (1, 12**8, 6561, 1, 12**8),
    ),
    "16ths": (
        (1, 8**16, 1, 1, 8**16),
        (1, 12**16, 1, 1, 12**16),
    ),
    "16ths, every third accented": (
        (1, 8**16, 1, 1, 8**16),
        (1, 12**16, 1, 1, 12**16),
    ),
    "Dotted eighths and 16ths": (
        (1, 8**8, 3136, 1, 8**8),
        (1, 12**8, 11664, 1, 12**8),
    ),
    "Rests on the beats": (
        (1, 8**6, 7**2, 1, 8**6),
        (1, 12**6, 81, 1, 12**6),
    ),
    "Pushed across the middle": (
        (1, 8**5, 19208, 1, 8**5),
        (1, 12**5, 78732, 1, 12**5),
    ),
    "Eighth triplets": (
        (1, 8**12, 8**12, 1, 8**12),
        (1, 12**12, 12**12, 1, 12**12),
    ),
    "Triplets and eighths": (
        (1, 8**6, 629407744, 1, 8**6),
        (1, 12**6, 19591041024, 1, 12**6),
    ),
    "Eighths and 16th triplets": (
        (1, 8**12, 164995463643136, 1, 8**12),
        (1, 12**12, 58498535041007616, 1, 12**12),
    ),
    "Three beats, 16ths at the end": (
        (1, 8**4, 7**4, 1, 8**4),
        (1, 12**4, 6561, 1, 12**4),
    ),
    "Six-eight, 16ths in the second half": (
        (1, 8**6, 7**3, 1, 8**6),
        (1, 12**6, 729, 1, 12**6),
    ),
    "Seven-eight, two and two and three": (
        (1, 8**6, 7**4, 1, 8**6),
        (1, 12**6, 6561, 1, 12**6),
    ),
}


def test_the_table_has_every_bar():
    assert list(SIZES) == [name for name, _, _ in BARS]


@pytest.mark.parametrize("kit", KITS)
@pytest.mark.parametrize(("name", "meter", "counts"), BARS, ids=[bar[0] for bar in BARS])
def test_the_rule_sets_have_as_many_fills_as_ever(name, meter, counts, kit):
    standard, every_surface = SIZES[name]
    bar = SourceBar(meter=meter, counts=counts)
    sizes = tuple(space_for(bar, RuleSet.from_json(step[2]), KITS[kit]).size for step in STEPS)
    assert sizes == (every_surface if kit == "every surface" else standard)
