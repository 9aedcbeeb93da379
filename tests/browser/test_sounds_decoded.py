"""The kit's sounds in a real browser: decoded by it, the attack where the list says."""

import pytest
from django.urls import reverse

from rhythms.notation.sounds import NAMES

pytestmark = pytest.mark.browser

#: For each sound: seconds from the listed offset to the first sample of a tenth of the peak.
MEASURE = """async (address) => {
  const listed = await (await fetch(address)).json();
  const context = new OfflineAudioContext(1, 1, 44100);
  const found = [];
  for (const [name, dynamics] of Object.entries(listed.sounds)) {
    for (const [dynamic, { url, offset }] of Object.entries(dynamics)) {
      const bytes = await (await fetch(url)).arrayBuffer();
      const buffer = await context.decodeAudioData(bytes);
      const wave = buffer.getChannelData(0);
      const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
      const attack = wave.findIndex((sample) => Math.abs(sample) > peak / 10);
      found.push({ name, dynamic, peak, late: attack / buffer.sampleRate - offset });
    }
  }
  return found;
}"""


def test_every_attack_is_within_two_milliseconds_of_its_offset(desktop, live_server):
    desktop.goto(live_server.url)
    # Words of a count begin before their vowel and say by how much; keys come softly.
    every = desktop.evaluate(MEASURE, reverse("rhythms:sounds"))
    found = [sound for sound in every if sound["name"] in NAMES]
    assert len(found) > 40
    assert [sound for sound in found if not 0 <= sound["late"] < 0.002] == []
    assert [sound for sound in found if not 0.01 < sound["peak"] < 1] == []
