"""An engraving on a page: there, on its way, or failed."""

from datetime import timedelta

import pytest
from django.core.files.storage import default_storage
from django.template import Context, Template
from django.urls import reverse
from django.utils import timezone

from rhythms.engine import Fill, Stroke, Surface
from rhythms.engine.fills.fill import snare_fill
from rhythms.models import Rendering
from rhythms.renderings import rendering_maker
from rhythms.renderings.rendering_store import rendering_for

pytestmark = pytest.mark.django_db


def shown(rendering: Rendering, options: str = "") -> str:
    template = Template(f"{{% load notation %}}{{% notation rendering {options} %}}")
    return template.render(Context({"rendering": rendering}))


@pytest.fixture
def waiting(bar):
    return rendering_for(snare_fill(bar.bar))


@pytest.fixture
def done(waiting):
    rendering_maker.make(waiting.key)
    waiting.refresh_from_db()
    return waiting


@pytest.fixture
def failed(waiting, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr(rendering_maker, "draw", lambda _: 1 / 0)
        rendering_maker.make(waiting.key)
    waiting.refresh_from_db()
    return waiting


@pytest.fixture
def fragment(teacher_client):
    def get(rendering, query=""):
        return teacher_client.get(reverse("rhythms:rendering", args=[rendering.key]) + query)

    return get


class TestTheTag:
    def test_an_engraving_is_put_into_the_page(self, done):
        assert "<svg" in shown(done)

    def test_its_legend_names_each_surface_once(self, bar):
        surfaces = [Surface.SNARE, Surface.RIDE] * 6
        fill = Fill(bar.bar, tuple(Stroke(surface) for surface in surfaces))
        rendering = rendering_for(fill)
        rendering_maker.make(rendering.key)
        rendering.refresh_from_db()
        html = shown(rendering)
        assert html.count("<span>Snare</span>") == html.count("<span>Ride</span>") == 1

    def test_the_legend_can_be_left_out(self, done):
        assert "<figcaption>" in shown(done)
        assert "<figcaption>" not in shown(done, "legend=False")

    def test_no_two_engravings_of_a_page_share_an_id(self, done, bar):
        other = rendering_for(snare_fill(bar.bar), counts=True)
        rendering_maker.make(other.key)
        other.refresh_from_db()
        ids = [part.split('"')[0] for part in (shown(done) + shown(other)).split(' id="')[1:]]
        assert len(ids) == len(set(ids)) > 24

    def test_one_on_its_way_shows_the_count_line_and_looks_again(self, waiting, bar):
        html = shown(waiting)
        assert "Being engraved" in html
        assert bar.counts.replace("&", "&amp;") in html
        assert f'hx-get="{reverse("rhythms:rendering", args=[waiting.key])}"' in html

    def test_one_without_legend_comes_back_without(self, waiting):
        assert f'{reverse("rhythms:rendering", args=[waiting.key])}?bare"' in shown(
            waiting, "legend=False"
        )

    def test_a_failed_one_says_why_and_can_be_tried_again(self, failed):
        html = shown(failed)
        assert "The engraver stopped with an error (ZeroDivisionError)." in html
        assert f'hx-post="{reverse("rhythms:rendering-retry", args=[failed.key])}"' in html

    def test_one_that_holds_no_fill_says_why(self):
        rendering = Rendering.objects.create(
            key="0" * 64, source={"fill": {}, "counts": False}, state="failed", error="No fill."
        )
        assert "This could not be engraved. No fill." in shown(rendering)

    def test_one_whose_file_is_lost_looks_again(self, done):
        default_storage.delete(done.file.name)
        assert "Being engraved" in shown(done)


class TestTheFragment:
    def test_it_is_nothing_while_there_is_nothing_new(self, fragment, waiting):
        assert fragment(waiting).status_code == 204

    def test_it_is_the_engraving_once_that_is_made(self, fragment, done):
        assert "<svg" in fragment(done).content.decode()

    def test_it_is_the_reason_once_it_failed(self, fragment, failed):
        assert "Try again" in fragment(failed).content.decode()

    def test_it_has_no_legend_where_none_was_asked(self, fragment, done):
        assert "<figcaption>" in fragment(done).content.decode()
        assert "<figcaption>" not in fragment(done, "?bare").content.decode()

    def test_one_that_was_forgotten_is_asked_for_again(
        self, fragment, waiting, django_capture_on_commit_callbacks
    ):
        waiting.asked_at = timezone.now() - timedelta(hours=1)
        waiting.save()
        with django_capture_on_commit_callbacks(execute=True):
            fragment(waiting)
        assert "<svg" in fragment(waiting).content.decode()

    def test_a_lost_file_comes_back(self, fragment, done, django_capture_on_commit_callbacks):
        default_storage.delete(done.file.name)
        with django_capture_on_commit_callbacks(execute=True):
            assert fragment(done).status_code == 204
        assert "<svg" in fragment(done).content.decode()

    def test_a_failed_one_is_made_when_tried_again(
        self, teacher_client, fragment, failed, django_capture_on_commit_callbacks
    ):
        with django_capture_on_commit_callbacks(execute=True):
            teacher_client.post(reverse("rhythms:rendering-retry", args=[failed.key]))
        assert "<svg" in fragment(failed).content.decode()


class TestWhoSeesIt:
    def test_a_teacher_sees_what_their_bars_show(self, fragment, done):
        assert fragment(done).status_code == 200

    def test_a_teacher_does_not_see_what_nothing_of_theirs_shows(self, fragment, bar):
        fill = Fill(bar.bar, tuple(Stroke(Surface.RIDE) for _ in bar.bar.sounded))
        bar.remove()
        assert fragment(rendering_for(fill)).status_code == 404

    def test_a_student_does_not_see_the_library(self, student_client, done):
        url = reverse("rhythms:rendering", args=[done.key])
        assert student_client.get(url).status_code == 404

    def test_what_holds_no_fill_is_nobodys(self, fragment):
        rendering = Rendering.objects.create(key="0" * 64, source={"fill": {}, "counts": False})
        assert fragment(rendering).status_code == 404
