"""The library of bars and the bar editor."""

import pytest
from django.urls import reverse

from rhythms.models import Rendering, SourceBar
from tests.rhythms.conftest import MAIN_BAR

pytestmark = pytest.mark.django_db
GOOD = {"name": "Sunday walk", "meter": "4/4", "counts": "1 & 2 & 3 e & a 4", "reference": ""}


def form_of(response):
    return response.context["form"]


class TestTheList:
    @pytest.fixture
    def show(self, teacher_client):
        def get(**query):
            return teacher_client.get(reverse("rhythms:bars"), query)

        return get

    def test_each_bar_is_there_with_its_facts(self, show, studio):
        studio.bars.create(**GOOD | {"reference": "Own notebook, page 3"})
        html = show().content.decode()
        for bar in studio.bars.kept():
            assert bar.name in html
        assert "Own notebook, page 3" in html
        assert "1 &amp; 2 &amp; 3 e &amp; a 4" in html

    @pytest.mark.django_db(transaction=True)
    def test_each_bar_is_engraved(self, show, studio):
        html = show().content.decode()
        assert html.count('.svg" width=') == studio.bars.kept().count()

    def test_a_bar_that_waits_for_the_worker_looks_again_by_itself(self, show):
        assert "Being engraved" in show().content.decode()

    def test_a_longer_list_costs_no_more_queries(
        self, show, studio, teacher_client, django_assert_num_queries, settings
    ):
        show()
        # Session, teacher, studio; count, bars, renderings.
        with django_assert_num_queries(6):
            show()
        studio.bars.kept().exclude(counts=MAIN_BAR).update(removed_at="2026-01-01T00:00Z")
        with django_assert_num_queries(6):
            show()

    def test_a_long_library_has_pages(self, show, studio):
        for number in range(30):
            studio.bars.create(**GOOD | {"name": f"Walk {number}"})
        assert "Walk 29" not in show().content.decode()
        assert "Walk 29" in show(page=3).content.decode()

    @pytest.mark.parametrize("nonsense", ["x", "-1", "99999", ""])
    def test_a_page_that_is_not_there_shows_one_that_is(self, show, nonsense):
        assert show(page=nonsense).status_code == 200

    def test_bars_are_found_by_what_is_known_of_them(self, show, studio):
        studio.bars.create(**GOOD | {"reference": "Own notebook"})
        for wanted in ("sunday", "3 e & a 4", "NOTEBOOK"):
            assert "Sunday walk" in show(q=wanted).content.decode()

    def test_a_search_leaves_the_others_out(self, show):
        html = show(q="triplets").content.decode()
        assert "Eighth triplets" in html
        assert "Dotted eighths" not in html

    @pytest.mark.parametrize("wanted", ["nothing like this", "\x00", "%"])
    def test_a_search_without_a_find_says_so_or_shows_all(self, show, wanted):
        assert show(q=wanted).status_code == 200

    def test_a_search_says_how_many_were_found(self, show):
        html = show(q="eighth triplets").content.decode()
        assert '<span class="figure">1</span> bar with “eighth triplets” in the name' in html

    def test_what_was_searched_is_shown_back_safely(self, show):
        html = show(q="<script>").content.decode()
        assert "&lt;script&gt;" in html
        assert "<script>" not in html

    def test_an_empty_library_says_what_it_is_for(self, show, empty_studio):
        assert "Here you keep the bars" in show().content.decode()

    def test_another_studios_bars_are_not_there(self, show, other_studio):
        other_studio.bars.create(**GOOD | {"name": "Secret walk"})
        assert "Secret walk" not in show().content.decode()


class TestOneBar:
    def test_it_says_how_many_fills_each_rule_set_makes(self, teacher_client, bar):
        html = teacher_client.get(reverse("rhythms:bar", args=[bar.pk])).content.decode()
        assert "16,777,216 fills: at one a minute, 32 years" in html
        assert "2,401 fills: at one a minute, 40 hours" in html

    def test_without_rule_sets_it_leads_to_writing_one(self, teacher_client, empty_studio):
        bar = empty_studio.bars.create(**GOOD)
        response = teacher_client.get(reverse("rhythms:bar", args=[bar.pk]))
        assert reverse("rhythms:rule-set-new") in response.content.decode()


class TestWriting:
    @pytest.fixture
    def post(self, teacher_client):
        def post(bar=None, **changes):
            url = reverse("rhythms:bar-edit", args=[bar.pk]) if bar else reverse("rhythms:bar-new")
            return teacher_client.post(url, GOOD | changes)

        return post

    def test_a_bar_is_kept(self, post, studio):
        response = post()
        bar = studio.bars.get(name="Sunday walk")
        assert response.url == reverse("rhythms:bar", args=[bar.pk])

    def test_a_bar_is_kept_in_printed_form(self, post, studio):
        post(counts="1 AND 2 + 3 e & a  4")
        assert studio.bars.get(name="Sunday walk").counts == GOOD["counts"]

    def test_a_fill_of_two_bars_is_kept(self, post, studio):
        post(counts="1 & 2 3 4|- & 2 3 4")
        bar = studio.bars.get(name="Sunday walk")
        assert bar.counts == "1 & 2 3 4 | - & 2 3 4"
        assert bar.bar.meter.bars == 2

    def test_a_fifth_bar_is_refused_by_its_field(self, post):
        five = " | ".join(["1 2 3 4"] * 5)
        html = post(counts=five).content.decode()
        assert "a fill has 4 bars at most" in html
        assert f'value="{five}"' in html

    def test_a_bar_is_changed(self, post, bar):
        post(bar, name=bar.name, counts="1 2 3 4")
        bar = SourceBar.objects.get(pk=bar.pk)
        assert bar.counts == "1 2 3 4"

    def test_a_count_line_that_cannot_be_read_is_kept_as_typed(self, post):
        html = post(counts="  1 & 2 x").content.decode()
        assert 'value="  1 &amp; 2 x"' in html
        assert 'value="Sunday walk"' in html

    def test_its_error_stands_under_the_column(self, post):
        html = post(counts="  1 & 2 x").content.decode()
        assert f'<pre class="caret-line count-line" aria-hidden="true">{" " * 8}^</pre>' in html
        assert "At column 9, “x”: this is not a count." in html

    def test_its_error_is_linked_to_the_field(self, post):
        widget = str(form_of(post(counts="x"))["counts"])
        assert 'aria-invalid="true"' in widget
        assert 'aria-describedby="id_counts_helptext counts-message"' in widget

    def test_nothing_is_kept_of_it(self, post, studio):
        before = studio.bars.count()
        post(counts="1 & 2 x")
        assert studio.bars.count() == before

    def test_a_bar_of_rests_is_refused_in_words(self, post):
        html = post(counts="(1) (2) (3) (4)").content.decode()
        assert "Nothing sounds in this bar." in html
        assert "Not saved yet." in html

    def test_the_fields_with_a_note_are_named_with_commas_between(self, post):
        html = " ".join(post(counts="x", name="").content.decode().split())
        counts, name = '<a href="#id_counts">Count line</a>', '<a href="#id_name">Name</a>'
        assert f"See the note at {counts}, {name}." in html

    def test_an_empty_count_line_is_asked_for(self, post):
        assert "Type how the bar is counted" in post(counts="").content.decode()

    def test_a_name_of_spaces_is_no_name(self, post):
        assert form_of(post(name="   ")).errors["name"] == ["Give it a name."]

    def test_a_name_that_is_taken_is_refused(self, post, bar):
        error = form_of(post(name=bar.name.upper())).errors["name"][0]
        assert error.startswith("There is already a bar “EIGHTHS AND 16THS BY TURNS”.")

    @pytest.mark.parametrize(
        ("meter", "words"),
        [
            ("4/3", "4/3 is not a meter this tool counts"),
            (
                "7/8 (3+2+1)",
                "In the meter, at column 6, “3+2+1”: the groups 3+2+1 make 6; a bar of 7/8 has 7",
            ),
            ("seven", "“seven” is not a meter: write it as 4/4, 6/8 or 7/8 (3+2+2)."),
            ("", "Type a meter, such as 4/4 or 6/8."),
        ],
    )
    def test_what_is_no_meter_is_refused_at_its_field(self, post, meter, words):
        form = form_of(post(meter=meter))
        assert form.errors["meter"][0].startswith(words)
        assert form["meter"].value() == meter

    def test_a_meter_is_kept_with_its_groups(self, post, studio):
        post(name="Seven", meter="3+2+2/8", counts="1 2 3 4 5 6 7")
        kept = studio.bars.get(name="Seven")
        assert (kept.meter, str(kept.bar.meter)) == ("7/8 (3+2+2)", "7/8 (3+2+2)")

    def test_a_pickup_is_kept_as_it_is_typed(self, post, studio):
        post(name="Early", meter="4/4", counts="4 & | 1 2 3 4")
        kept = studio.bars.get(name="Early")
        assert kept.counts == "4 & | 1 2 3 4"
        assert kept.bar.meter.pickup == 1

    def test_two_errors_are_both_named_above_the_form(self, post):
        html = post(name="", counts="x").content.decode()
        assert '<a href="#id_name">Name</a>' in html
        assert '<a href="#id_counts">Count line</a>' in html

    @pytest.mark.parametrize("field", ["name", "counts", "reference"])
    def test_a_very_long_text_is_an_error_of_its_field(self, post, field):
        assert field in form_of(post(**{field: "1 " * 3000})).errors

    @pytest.mark.parametrize("field", list(GOOD))
    def test_a_null_character_is_an_error_of_its_field(self, post, field):
        assert field in form_of(post(**{field: "1\x002"})).errors

    def test_a_name_taken_in_the_same_moment_is_refused_too(self, post, studio, monkeypatch):
        studio.bars.create(**GOOD)
        monkeypatch.setattr("rhythms.forms.refuse_taken", lambda *_: None)
        assert "given away just now" in form_of(post()).errors["name"][0]

    def test_books_are_cautioned_about(self, teacher_client):
        html = teacher_client.get(reverse("rhythms:bar-new")).content.decode()
        assert "Do not copy pages." in html

    def test_the_editor_opens_with_the_bar_and_its_grid(self, teacher_client, bar):
        html = teacher_client.get(reverse("rhythms:bar-edit", args=[bar.pk])).content.decode()
        assert f'value="{MAIN_BAR.replace("&", "&amp;")}"' in html
        assert html.count('data-kind="sound"') == 12


class TestRemoving:
    def test_it_asks_first(self, teacher_client, bar):
        html = teacher_client.get(reverse("rhythms:bar-remove", args=[bar.pk])).content.decode()
        assert "Students keep the fills they have of it." in html
        assert SourceBar.objects.kept().filter(pk=bar.pk).exists()

    def test_it_can_be_undone(self, teacher_client, bar):
        teacher_client.post(reverse("rhythms:bar-remove", args=[bar.pk]))
        assert not SourceBar.objects.kept().filter(pk=bar.pk).exists()
        teacher_client.post(reverse("rhythms:bar-restore", args=[bar.pk]))
        assert SourceBar.objects.kept().filter(pk=bar.pk).exists()

    def test_a_removed_bar_is_not_found(self, teacher_client, bar):
        bar.remove()
        assert teacher_client.get(reverse("rhythms:bar", args=[bar.pk])).status_code == 404


class TestThePreview:
    @pytest.fixture
    def by_line(self, teacher_client):
        def post(counts, meter="4/4", **more):
            data = {"counts": counts, "meter": meter, **more}
            return teacher_client.post(reverse("rhythms:bar-preview") + "?by=line", data)

        return post

    @pytest.fixture
    def by_grid(self, teacher_client):
        def post(meter, **grid):
            data = {"counts": "as typed", "meter": meter, **grid}
            return teacher_client.post(reverse("rhythms:bar-preview") + "?by=grid", data)

        return post

    QUARTERS = {"division": ["quarter"] * 4, "drawn": ["quarter"] * 4} | {
        f"cell-{n}": ["sound"] for n in (1, 2, 3, 4)
    }

    def test_a_count_line_is_engraved(self, by_line):
        assert "<svg" in by_line(MAIN_BAR).content.decode()

    def test_nothing_is_kept_of_it(self, by_line):
        by_line(MAIN_BAR)
        assert not Rendering.objects.exists()

    def test_the_grid_follows_the_line(self, by_line):
        html = by_line("1 trip let 2 & 3 4", **self.QUARTERS).content.decode()
        assert "<option selected>triplets</option>" in html

    def test_a_bar_line_brings_the_grid_of_two_bars(self, by_line):
        html = by_line("1 2 3 4 | 1 & 2 3 4", **self.QUARTERS).content.decode()
        assert html.count("data-cell=") == 9
        assert 'name="cell-2-1"' in html

    def test_the_line_of_two_bars_follows_their_grid(self, teacher_client):
        grid = {"division": ["quarter"] * 4, "cell-1": ["sound"], "cell-2": ["sound"]}
        second = {"cell-2-1": ["hold"], "cell-2-2": ["accent"]}
        data = {"counts": "1 2 | 1 2", "meter": "2/4", **grid, **second}
        response = teacher_client.post(reverse("rhythms:bar-preview") + "?by=grid", data)
        assert '"1 2 | - 2>"' in response.headers["HX-Trigger"]

    def test_a_line_in_error_says_where(self, by_line):
        html = by_line("1 & x").content.decode()
        assert ">    ^</pre>" in html
        assert "At column 5, “x”" in html

    def test_a_line_in_error_leaves_drawing_and_grid_as_they_are(self, by_line):
        response = by_line("1 & x", **self.QUARTERS)
        assert response.headers["HX-Reswap"] == "none"
        assert "data-cell" not in response.content.decode()

    def test_a_line_that_does_not_fit_a_new_meter_brings_that_meters_grid(self, by_line):
        html = by_line("1 2 3 4", "3/4", **self.QUARTERS).content.decode()
        assert "a bar of 3/4 counts from 1 to 3." in html
        assert html.count("data-cell=") == 3

    def test_an_empty_line_is_no_error(self, by_line):
        html = by_line("  ").content.decode()
        assert "field-error" not in html
        assert "The bar is engraved here while you type." in html

    def test_what_is_typed_is_escaped_in_the_error(self, by_line):
        html = by_line("1 <script>").content.decode()
        assert "&lt;script" in html
        assert "<script" not in html

    @pytest.mark.parametrize("meter", ["", "4/3", "x", "4/4\x00"])
    def test_a_meter_that_is_none_has_its_error_beside_it(self, by_line, meter):
        html = by_line(MAIN_BAR, meter).content.decode()
        beside, under_the_line = html.split("#counts-message")
        assert "#meter-message" in beside
        assert "meter" in beside.partition('id="id_meter_error"')[2]
        assert "field-error" not in under_the_line

    def test_the_line_follows_the_grid(self, by_grid):
        grid = {"division": ["eighths", "quarter"], "cell-1": ["accent", "rest"]}
        response = by_grid("2/4", **grid, **{"cell-2": ["hold"]})
        assert response.headers["HX-Trigger"] == '{"bar-drawn": {"counts": "1> (&) -"}}'

    @pytest.mark.parametrize(
        ("pickup", "counts"), [("1", "4 | 1 2 3 4"), ("3", "2 3 4 | 1 2 3 4"), ("0", "1 2 3 4")]
    )
    def test_a_pickup_is_chosen_on_the_grid(self, by_grid, pickup, counts):
        response = by_grid("4/4", **self.QUARTERS, pickup=pickup)
        assert f'"{counts}"' in response.headers["HX-Trigger"]
        html = response.content.decode()
        assert (f'<option value="{pickup}" selected>' in html) == (pickup != "0")
        assert ('name="cell-2-1"' in html) == (pickup != "0")

    @pytest.mark.parametrize(
        ("pickup", "counts"), [("0", "1 2 3 4"), ("2", "3 4 | 1 2 3 4"), ("1", "4 | - 2 3 4")]
    )
    def test_a_pickup_is_taken_away_again_or_made_longer(self, teacher_client, pickup, counts):
        names = ("4", "2-1", "2-2", "2-3", "2-4")
        grid = {f"cell-{name}": ["sound"] for name in names} | {"pickup": pickup}
        if pickup == "1":
            grid["cell-2-1"] = ["hold"]
        divisions = {"division": ["quarter"] * 5, "drawn": ["quarter"] * 5}
        data = {"counts": "4 | 1 2 3 4", "meter": "4/4", **grid, **divisions}
        response = teacher_client.post(reverse("rhythms:bar-preview") + "?by=grid", data)
        assert f'"{counts}"' in response.headers["HX-Trigger"]

    @pytest.mark.parametrize("pickup", ["4", "99", "-1", "x", "", "9" * 5000])
    def test_what_is_no_pickup_is_an_error_in_words(self, by_grid, pickup):
        response = by_grid("4/4", **self.QUARTERS, pickup=pickup)
        assert response.status_code == 200
        assert "pick-up" in response.content.decode()
        assert "field-error" in response.content.decode()

    def test_a_pickup_before_a_bar_of_silence_sounds(self, by_grid):
        blank = {"cell-1": ["rest"]} | {f"cell-{n}": ["hold"] for n in (2, 3, 4)}
        response = by_grid("4/4", **self.QUARTERS | blank, pickup="1")
        assert '"4 | (1) - - -"' in response.headers["HX-Trigger"]

    @pytest.mark.parametrize(
        ("place", "counts"),
        [
            ("1-2 1/4 accent", "1 2 e> 3 4"),
            ("1-2 1/3 rest", "1 2 (trip) 3 4"),
            ("1-4 0 hold", "1 2 3 -"),
            ("0-2 1/4 accent", "1 2 3 4"),
            ("1-2 9 accent", "1 2 3 4"),
            ("1-2 1/0 loud", "1 2 3 4"),
        ],
    )
    def test_a_place_that_the_grid_has_no_more_is_set_all_the_same(self, by_grid, place, counts):
        response = by_grid("4/4", **self.QUARTERS, place=place)
        assert f'"{counts}"' in response.headers["HX-Trigger"]

    def test_a_place_that_cannot_be_counted_is_an_error_in_words(self, by_grid):
        places = ["1-2 1/3 sound", "1-2 1/4 sound"]
        response = by_grid("4/4", **self.QUARTERS, place=places)
        assert "Beat 2 cannot be counted: " in response.content.decode()

    def test_the_grid_stays_while_its_cells_are_touched(self, by_grid):
        assert "data-cell" not in by_grid("4/4", **self.QUARTERS).content.decode()

    def test_the_grid_is_laid_out_anew_for_another_division(self, by_grid):
        grid = self.QUARTERS | {"division": ["16ths", *["quarter"] * 3]}
        response = by_grid("4/4", **grid)
        assert response.content.decode().count("data-cell=") == 7
        assert '"1 e & a 2 3 4"' in response.headers["HX-Trigger"]

    def test_a_silent_grid_is_drawn_and_labelled_silent(self, by_grid):
        grid = self.QUARTERS | {f"cell-{n}": ["rest"] for n in (1, 2, 3, 4)}
        html = by_grid("4/4", **grid).content.decode()
        assert "<svg" in html
        assert "Nothing sounds in this bar." in html

    @pytest.mark.parametrize(
        "wrong",
        [
            {"division": ["quarter"] * 3},
            {"division": ["thirds"] * 4},
            {"cell-2": ["loud"]},
            {"cell-2": []},
            {"cell-1": ["hold"]},
        ],
    )
    def test_a_grid_that_is_no_bar_has_an_error(self, by_grid, wrong):
        response = by_grid("4/4", **self.QUARTERS | wrong)
        assert response.status_code == 200
        assert "field-error" in response.content.decode()
        assert "HX-Trigger" not in response.headers

    def test_a_request_without_anything_has_an_error(self, teacher_client):
        response = teacher_client.post(reverse("rhythms:bar-preview"))
        assert "field-error" in response.content.decode()


@pytest.mark.parametrize("meter", ["4/4", "99/99", "", "4"])
@pytest.mark.parametrize("counts", ["1 & 2 & 3 & 4 &", "1 9", "", "(" * 900])
def test_an_address_begins_a_new_bar_with_whatever_it_has(teacher_client, counts, meter):
    page = teacher_client.get(reverse("rhythms:bar-new"), {"counts": counts, "meter": meter})
    assert page.status_code == 200
    assert f'value="{counts.replace("&", "&amp;")}"' in page.content.decode() or not counts
