"""Lists that are looked at again and again show engravings by address; a browser keeps them."""

import re

import pytest
from django.template import Context, Template
from django.urls import reverse

from rhythms.engine.fills.fill import snare_fill
from rhythms.renderings import rendering_maker
from rhythms.renderings.rendering_store import markup, rendering_for

pytestmark = pytest.mark.django_db


@pytest.fixture
def engraving(studio):
    own = studio.bars.create(name="Own", meter="4/4", counts="1 2 3 e & a 4 trip let")
    rendering = rendering_for(snare_fill(own.bar))
    rendering_maker.make(rendering.key)
    rendering.refresh_from_db()
    return rendering


def address(rendering) -> str:
    return reverse("rhythms:rendering-svg", args=[rendering.key])


def picture(rendering) -> str:
    tag = "{% load notation %}{% notation rendering legend=False by_address=True %}"
    return Template(tag).render(Context({"rendering": rendering}))


def test_the_address_holds_the_engraving(teacher_client, engraving):
    answer = teacher_client.get(address(engraving))
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer.content.decode() == markup(engraving)


def test_a_browser_keeps_it_and_nothing_between_us_does(teacher_client, engraving):
    kept = teacher_client.get(address(engraving))["Cache-Control"]
    assert kept == "private, max-age=31536000, immutable"


def test_somebody_else_does_not_get_it(other_teacher_client, engraving):
    assert other_teacher_client.get(address(engraving)).status_code == 404


def test_one_that_is_lost_is_not_kept_as_missing(teacher_client, engraving, settings):
    (settings.MEDIA_ROOT / str(engraving.file)).unlink()
    answer = teacher_client.get(address(engraving))
    assert answer.status_code == 204
    assert "no-store" in answer["Cache-Control"]


def test_the_page_names_the_address(engraving):
    assert f'src="{address(engraving)}"' in picture(engraving)


def test_its_place_has_its_shape_before_it_comes(engraving):
    width, height = map(
        int, re.search(r'width="(\d+)" height="(\d+)"', picture(engraving)).groups()
    )
    box = re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', markup(engraving))
    assert abs(width / height - float(box[1]) / float(box[2])) < 0.01


def test_it_says_in_words_what_the_engraving_says(engraving):
    drawn = markup(engraving)
    title, words = (re.search(rf"<{tag}[^>]*>(.*?)</{tag}>", drawn)[1] for tag in ("title", "desc"))
    assert f'alt="{title}. {words}"' in picture(engraving)


def test_one_that_waits_looks_again_as_everywhere(bar):
    assert "Being engraved" in picture(rendering_for(snare_fill(bar.bar)))
