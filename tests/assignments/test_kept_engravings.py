"""What a fill or a take shows stays for as long as they do."""

import pytest
from django.utils import timezone

from rhythms.engine import Bar
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.renderings import rendering_maker
from rhythms.renderings.rendering_store import rendering_for

pytestmark = pytest.mark.django_db


def are_old() -> None:
    Rendering.objects.update(asked_at="2020-01-01T00:00:00Z")


def test_what_an_assigned_fill_shows_is_never_swept_out(variation):
    variation.removed_at = timezone.now()
    variation.save()
    are_old()
    rendering_maker.discard_outlived()
    assert Rendering.objects.filter(pk=variation.rendering_id).exists()


def test_its_other_drawings_go_where_nobody_has_wanted_them_for_long(variation):
    are_old()
    assert rendering_maker.discard_outlived() > 0
    assert not Rendering.objects.filter(source__has_key="drawn").exists()


def test_what_a_take_shows_is_never_swept_out(take):
    Rendering.objects.filter(takes=None, variations=None).delete()
    played = rendering_for(snare_fill(Bar.from_counts("1 2 3 4")))
    take.renderings.add(played)
    are_old()
    assert rendering_maker.discard_outlived() == 0
    take.renderings.remove(played)
    assert rendering_maker.discard_outlived() == 1
