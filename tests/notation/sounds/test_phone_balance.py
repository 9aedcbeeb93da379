"""What a phone's loudspeaker leaves of the kit, and how loud a block and its click are."""

from itertools import combinations

import pytest

from rhythms.bench.loudness_table import TEMPO, clicks, heard_block
from rhythms.bench.phone_speaker import loudness_on_phone, on_phone
from rhythms.bench.sound_judge import difference
from rhythms.engine import Surface
from rhythms.notation.sounds import BALANCES, NAMES, samples
from rhythms.notation.sounds.audio import GAIN, mix
from rhythms.notation.sounds.loudness import programme_loudness

#: dB of `difference`: about what high and mid tom keep of it in full.
APART = 4.5
LOW = ["bass drum", "high tom", "mid tom", "floor tom"]


def balanced(name: str) -> str:
    """What a phone plays for a surface."""
    return str(BALANCES["phone"].get(name, {}).get("sound", name))


def under_the_snare(name: str) -> float:
    snare = loudness_on_phone(GAIN * samples("snare", "accent"))
    return snare - loudness_on_phone(GAIN * samples(name, "accent"))


@pytest.mark.parametrize("name", LOW)
def test_a_low_drum_has_a_sound_for_phones(name):
    assert balanced(name) in set(NAMES) - {name}


@pytest.mark.parametrize("name", LOW)
def test_it_is_at_most_4_db_under_the_snare_there_and_louder_than_it_was(name):
    assert under_the_snare(balanced(name)) <= 4
    assert under_the_snare(balanced(name)) < under_the_snare(name)


def test_no_two_surfaces_are_alike_on_a_phone():
    heard = {name: on_phone(GAIN * samples(balanced(name), "accent")) for name in Surface}
    apart = {pair: difference(heard[pair[0]], heard[pair[1]]) for pair in combinations(heard, 2)}
    assert {pair: far for pair, far in apart.items() if far < APART} == {}


def test_the_click_is_about_3_db_under_the_groove():
    block = heard_block()
    groove = [sound for sound in block.sounds if sound.onset < block.fill_onset]
    under = programme_loudness(mix(groove, TEMPO)) - programme_loudness(mix(clicks(), TEMPO))
    assert under == pytest.approx(3, abs=0.7)
