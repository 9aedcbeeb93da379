"""What the scripts are held against in Node is what Python says today."""

import pytest

from rhythms.notation.player import block_json
from tests.js.expectations import EXPECTED, as_text, expectations, plain_block

CONTENT = expectations()


@pytest.mark.parametrize("name", CONTENT)
def test_an_expectation_is_what_python_says_now(name):
    assert (EXPECTED / name).read_text() == as_text(CONTENT[name])


def test_every_expectation_is_computed():
    assert {path.name for path in EXPECTED.iterdir()} == set(CONTENT)


@pytest.mark.parametrize("bars", [8, 12, 16])
def test_a_longer_block_is_another_only_in_its_number_of_bars(bars):
    """So Node's tests may lengthen the one they have; chords are one more for each bar."""
    longer, block = block_json(plain_block(bars)), block_json(plain_block())
    assert longer["backing"].pop("chords")[-1] == block["backing"].pop("chords")[-1]
    assert longer == block | {"bars": bars}
