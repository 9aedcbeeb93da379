"""Grooves: the list, one by one, and the editor in which they are typed drum by drum."""

import json
import re

import pytest
from django.urls import reverse

from rhythms.engine.playback.groove_fill import groove_fill
from rhythms.engine.playback.groove_library import patterns
from rhythms.grooves.groove_list import by_slug
from rhythms.models import Rendering, StudioGroove
from rhythms.renderings.rendering_store import renderings_for
from tests.assignments.making import make_groove

pytestmark = pytest.mark.django_db

GOOD = {
    "name": "Sunday walk",
    "meter": "4/4",
    "style": "rock",
    "feel": "eighths 50",
    "slowest": "70",
    "fastest": "120",
    "line-hi-hat": "1 & 2 & 3 & 4 &",
    "line-snare": "2> 4>",
    "line-bass-drum": "1 3 &",
}


def form_of(response):
    return response.context["form"]


class TestTheList:
    @pytest.fixture
    def show(self, teacher_client):
        def get(**query):
            return teacher_client.get(reverse("rhythms:grooves"), query)

        return get

    def test_the_library_is_there_page_by_page_and_own_ones_stand_first(self, show, studio):
        make_groove(studio)
        pages = [show(page=number).context["grooves"] for number in (1, 2, 3)]
        shown = [one.listed.pattern.name for page in pages for one in page]
        assert shown == ["Walking", *(pattern.name for pattern in patterns())]

    @pytest.mark.django_db(transaction=True)
    def test_each_is_engraved(self, show, studio):
        html = show().content.decode()
        assert html.count('.svg" width=') == 20
        assert "Being engraved" not in html

    def test_each_can_be_heard_and_copied(self, show, studio):
        own = make_groove(studio)
        html = show().content.decode()
        assert html.count("data-hear=") == 20
        assert f"{reverse('rhythms:groove-new')}?own={own.pk}" in html
        assert f"{reverse('rhythms:groove-new')}?library=rock" in html

    def test_only_own_ones_can_be_edited_and_removed(self, show, studio):
        own = make_groove(studio)
        html = show().content.decode()
        assert re.findall(r"grooves/(\d+)/edit", html) == [str(own.pk)]

    @pytest.mark.parametrize(
        ("query", "names"),
        [
            ({"q": "SAMBA"}, ["samba", "samba on the snare"]),
            ({"style": "reggae"}, ["one-drop", "steppers", "ska"]),
            ({"meter": "7/8"}, ["7/8 rock"]),
            ({"meter": "3/4", "style": "swing"}, ["jazz waltz"]),
            ({"q": "no such thing"}, []),
        ],
    )
    def test_it_is_narrowed_by_words_style_and_meter(self, show, query, names):
        response = show(**query)
        assert [one.listed.pattern.name for one in response.context["grooves"]] == names
        if not names:
            assert "No groove is like that" in response.content.decode()

    @pytest.mark.parametrize("nonsense", ["x", "\x00", "%", "9" * 500])
    def test_what_nobody_can_want_finds_nothing(self, show, nonsense):
        assert show(style=nonsense, meter=nonsense, page=nonsense).status_code == 200

    def test_another_studios_are_not_there(self, show, other_studio):
        make_groove(other_studio, "Theirs")
        assert "Theirs" not in show().content.decode()

    def test_it_takes_few_questions(self, show, studio, django_assert_num_queries):
        show()
        # Session, teacher, studio; own grooves, renderings.
        with django_assert_num_queries(5):
            show()


def test_every_groove_of_the_library_has_an_address_of_its_own(teacher_client):
    assert len(by_slug()) == len(patterns())
    for slug, pattern in by_slug().items():
        html = teacher_client.get(reverse("rhythms:library-groove", args=[slug])).content.decode()
        assert f"<h1>{pattern.name[0].upper()}{pattern.name[1:]}</h1>" in html


class TestOne:
    def test_it_says_its_lines_and_its_bar_that_leads_on(self, teacher_client, studio):
        own = make_groove(studio)
        html = teacher_client.get(reverse("rhythms:groove", args=[own.pk])).content.decode()
        assert "1 (2) &amp; 3" in html
        assert "The bar that leads into the fill" in html
        assert "2&gt; 4&gt; &amp;&gt;" in html

    def test_it_says_its_feel(self, teacher_client):
        page = teacher_client.get(reverse("rhythms:library-groove", args=["hip-hop"]))
        assert "· light swing of the 16ths (58 %)" in page.content.decode()

    @pytest.mark.parametrize("kind", ["musicxml", "mxl", "mid", "svg"])
    def test_it_is_saved_as_a_file(self, teacher_client, studio, kind):
        own = make_groove(studio)
        for address in (
            reverse("rhythms:groove-file", args=[own.pk, kind]),
            reverse("rhythms:library-groove-file", args=["samba", kind]),
        ):
            response = teacher_client.get(address)
            assert response.status_code == 200
            assert f".{kind}" in response["Content-Disposition"]

    def test_an_unknown_kind_or_groove_does_not_exist(self, teacher_client):
        for address in (
            reverse("rhythms:library-groove-file", args=["samba", "exe"]),
            reverse("rhythms:library-groove", args=["no-such-groove"]),
        ):
            assert teacher_client.get(address).status_code == 404


class TestTheEditor:
    @pytest.fixture
    def send(self, teacher_client):
        def post(address="rhythms:groove-new", args=(), **changes):
            return teacher_client.post(reverse(address, args=args), GOOD | changes)

        return post

    def test_what_is_typed_is_kept_as_typed(self, send, studio):
        response = send(**{"line-snare": " 2>  4> ", "setup-snare": "2> 4> &>"})
        own = studio.grooves.get()
        assert response.url == reverse("rhythms:groove", args=[own.pk])
        assert own.lines["snare"] == " 2>  4> "
        assert own.setup == {"snare": "2> 4> &>"}
        assert (own.style, own.slowest, own.fastest, own.feel) == ("rock", 70, 120, {})

    def test_a_feel_is_kept(self, send, studio):
        send(feel="16ths 58")
        assert studio.grooves.get().pattern.feel.words == "light swing of the 16ths"

    def test_a_groove_of_two_bars_is_kept(self, send, studio):
        send(**{"line-bass-drum": "1 3 | 1 3 &"})
        assert studio.grooves.get().pattern.groove.meter.bars == 2

    @pytest.mark.parametrize(
        ("field", "typed", "said", "caret"),
        [
            ("line-snare", "2 x", "At column 3, “x”", 2),
            ("line-bass-drum", "1 9", "a bar of 4/4 counts from 1 to 4", 2),
            ("setup-snare", "2 | 4", "this pattern has one bar", 2),
            ("line-cross-stick", "2", "at once: a player has two hands", 0),
        ],
    )
    def test_what_is_wrong_stands_beside_its_line(self, send, studio, field, typed, said, caret):
        response = send(**{field: typed})
        assert not studio.grooves.exists()
        row = next(row for row in form_of(response).rows if row.field.name == field)
        assert said.lower() in row.error.messages[0].lower()
        assert row.caret == " " * caret + "^"
        html = response.content.decode()
        assert "Not saved yet" in html
        assert f'value="{typed}"' in html

    @pytest.mark.parametrize(
        ("changes", "said"),
        [
            ({"name": ""}, "Give it a name."),
            ({"name": "Rock"}, "“Rock” is in the library."),
            ({"meter": "13/16"}, "13/16 is not a meter this tool counts"),
            ({"style": "polka 9"}, "Choose a style from the list."),
            ({"feel": "300"}, "Choose a feel from the list."),
            ({"slowest": "10"}, "greater than or equal to 30"),
            ({"slowest": "130"}, "This is slower than the slowest tempo."),
            ({"fastest": "fast"}, "Enter a whole number."),
            ({"line-hi-hat": "", "line-snare": "", "line-bass-drum": ""}, "Nothing is struck yet."),
            ({"line-hi-hat": "1 " * 300}, "at most 400 columns"),
        ],
    )
    def test_what_cannot_be_kept_is_said_and_nothing_is_lost(self, send, studio, changes, said):
        response = send(**changes)
        assert response.status_code == 200
        assert said in response.content.decode()
        assert not studio.grooves.exists()

    def test_a_name_is_given_once(self, send, studio):
        make_groove(studio, "sunday WALK")
        assert "There is already a groove" in send().content.decode()

    @pytest.mark.parametrize("slug", ["rock", "samba", "hip-hop", "128-bell"])
    def test_a_copy_can_be_kept_and_goes_as_it_does(self, teacher_client, studio, slug):
        pattern = by_slug()[slug]
        form = form_of(teacher_client.get(reverse("rhythms:groove-new"), {"library": slug}))
        sent = {name: form[name].value() for name in form.fields}
        assert sent["name"] == f"{pattern.name}, own"
        teacher_client.post(reverse("rhythms:groove-new"), sent)
        copy = studio.grooves.get().pattern
        assert copy.groove.hits == pattern.groove.hits
        assert copy.groove.setups == pattern.groove.setups
        assert copy.to_json() == pattern.to_json() | {"name": f"{pattern.name}, own"}

    def test_an_own_one_can_be_copied(self, teacher_client, studio):
        own = make_groove(studio)
        form = form_of(teacher_client.get(reverse("rhythms:groove-new"), {"own": own.pk}))
        assert form["line-bass-drum"].value() == "1 (2) & 3"

    def test_another_studios_cannot(self, teacher_client, other_studio):
        theirs = make_groove(other_studio)
        response = teacher_client.get(reverse("rhythms:groove-new"), {"own": theirs.pk})
        assert response.status_code == 404

    def test_it_is_changed_and_other_assignments_of_names_stay(self, send, studio):
        own = make_groove(studio)
        send("rhythms:groove-edit", [own.pk], name="Walking", **{"line-snare": "3>"})
        own = StudioGroove.objects.get()
        assert own.lines["snare"] == "3>"
        assert own.setup == {}

    def test_sent_twice_it_is_kept_once(self, teacher_client, studio):
        page = teacher_client.get(reverse("rhythms:groove-new"))
        token = {"csrfmiddlewaretoken": str(page.context["csrf_token"])}
        for _ in range(2):
            teacher_client.post(reverse("rhythms:groove-new"), GOOD | token)
        assert studio.grooves.count() == 1


class TestThePreview:
    @pytest.fixture
    def preview(self, teacher_client):
        def post(**changes):
            return teacher_client.post(reverse("rhythms:groove-preview"), GOOD | changes)

        return post

    def test_it_draws_what_is_typed_and_can_be_heard(self, preview):
        html = preview().content.decode()
        assert html.count("<svg") == 1
        heard = json.loads(
            re.search(r'data-hear="([^"]*)"', html)[1].replace("&quot;", '"').replace("&#x27;", "'")
        )
        snare = [s["onset"] for s in heard["fill"] if s["surface"] == "snare"]
        assert snare == [bar * 4 + beat for bar in range(4) for beat in (1, 3)]
        assert heard["tempo"] == 95

    def test_a_meter_that_is_none_has_its_error_beside_it(self, preview):
        html = preview(meter="banana").content.decode()
        beside = html.partition("#meter-message")[2].partition("hx-swap-oob")[0]
        assert "“banana” is not a meter: write it as 4/4, 6/8 or 7/8 (3+2+2)." in beside
        assert "is not a meter" not in preview().content.decode()

    def test_the_bar_that_leads_on_is_drawn_too(self, preview):
        assert preview(**{"setup-snare": "4>"}).content.decode().count("<svg") == 2

    def test_places_touched_on_both_grids_are_written_into_their_lines(self, preview):
        response = preview(**{"turn": ["snare 0"], "setup-turn": ["snare 7/2", "bass drum 0"]})
        assert json.loads(response["HX-Trigger"])["groove-drawn"]["lines"] == {
            "line-snare": "1 2> 4>",
            "setup-snare": "1 2> 4> &",
            "setup-bass-drum": "1> 3 &",
        }
        html = response.content.decode()
        assert html.count("<svg") == 2
        assert "Snare, leading in, beat 4, &amp;: normal" in html
        assert "Hi-hat, leading in, beat 4, &amp;: normal, as in the groove" in html

    def test_a_line_that_ends_on_the_grid_is_emptied(self, preview):
        response = preview(**{"setup-snare": "2> 4> &", "setup-turn": ["snare 7/2"] * 3})
        assert json.loads(response["HX-Trigger"])["groove-drawn"]["lines"] == {"setup-snare": ""}
        assert response.content.decode().count("<svg") == 1

    def test_the_beats_of_the_bar_that_leads_in_are_divided_apart(self, preview):
        response = preview(**{"setup-division": ["16ths", "quarter", "triplets"]})
        divisions = [
            [beat.division for beat in response.context[grid].beats]
            for grid in ("grid", "setup_grid")
        ]
        assert divisions == [["eighths"] * 4, ["16ths", "eighths", "eighths", "eighths"]]

    def test_what_cannot_be_played_leaves_the_drawing_and_says_why(self, preview):
        response = preview(**{"line-snare": "2 x"})
        html = response.content.decode()
        assert response["HX-Reswap"] == "none"
        assert '<div hx-swap-oob="innerHTML:#id_line-snare_message">' in html
        assert "At column 3, “x”" in html

    @pytest.mark.parametrize("nonsense", ["", "\x00", "9/9", "4/4" * 99])
    def test_whatever_is_sent_is_answered(self, preview, nonsense):
        changes = {"meter": nonsense, "line-snare": nonsense, "slowest": nonsense, "feel": nonsense}
        changes |= {"setup-turn": nonsense, "setup-division": nonsense, "setup-snare": nonsense}
        assert preview(**changes).status_code == 200


class TestRemoving:
    def test_it_goes_and_comes_back(self, teacher_client, studio):
        own = make_groove(studio)
        teacher_client.post(reverse("rhythms:groove-remove", args=[own.pk]))
        shown = teacher_client.get(reverse("rhythms:grooves")).context["grooves"]
        assert "Walking" not in [one.listed.pattern.name for one in shown]
        assert "Walking" in teacher_client.get(reverse("studio:removed")).content.decode()
        teacher_client.post(reverse("rhythms:groove-restore", args=[own.pk]))
        assert studio.grooves.kept().get() == own


class TestWhoSeesTheEngraving:
    @pytest.fixture
    def seen(self, studio):
        def see(client, groove):
            [rendering] = renderings_for([groove], counts=True)
            Rendering.objects.filter(key=rendering.key).update(state=Rendering.State.WAITING)
            return client.get(reverse("rhythms:rendering", args=[rendering.key])).status_code

        return see

    def test_those_of_the_library_everybody_who_is_signed_in(
        self, seen, teacher_client, student_client, other_teacher_client
    ):
        rock = groove_fill(by_slug()["rock"].groove)
        for client in (teacher_client, student_client, other_teacher_client):
            assert seen(client, rock) == 204

    def test_own_ones_the_studio_alone(
        self, seen, studio, teacher_client, student_client, other_teacher_client
    ):
        own = groove_fill(make_groove(studio).pattern.groove)
        assert seen(teacher_client, own) == seen(student_client, own) == 204
        assert seen(other_teacher_client, own) == 404
