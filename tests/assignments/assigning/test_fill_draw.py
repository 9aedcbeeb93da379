"""The draw on the page: what stays, what goes, what comes instead."""

import pytest
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from assignments.assigning.fill_draw import (
    Draw,
    DrawRequest,
    PostedDraw,
    filled_in,
    key_of,
    what_will_happen,
)
from rhythms.engine import Bar, FillSpace, Kit, RuleSet
from studio.models import Student
from tests.assignments.assigning.test_assign import LARGE, space_of_size

MIRA = Student(pk=7, nickname="Mira")
KEY = key_of(LARGE)
NOTHING = DrawRequest()


def blank(asked: int = 3, space: FillSpace = LARGE, had=frozenset()) -> Draw:
    return Draw(MIRA, space, frozenset(had), asked)


def shown(*ranks: int, kept=(), key: str = KEY) -> PostedDraw:
    return PostedDraw(key, ranks, frozenset(kept))


class TestFilledIn:
    def test_an_empty_page_gets_a_fresh_draw(self):
        assert len(set(filled_in(blank(), PostedDraw(), NOTHING, 1).ranks)) == 3

    def test_what_is_shown_stays(self):
        assert filled_in(blank(), shown(5, 9, 2), NOTHING, 1).ranks == (5, 9, 2)

    def test_more_fills_come_after_those_shown(self):
        ranks = filled_in(blank(5), shown(5, 9, 2), NOTHING, 1).ranks
        assert ranks[:3] == (5, 9, 2)
        assert len(set(ranks)) == 5

    def test_of_fewer_fills_the_last_go_first(self):
        assert filled_in(blank(2), shown(5, 9, 2), NOTHING, 1).ranks == (5, 9)

    def test_of_fewer_fills_the_kept_ones_stay(self):
        assert filled_in(blank(2), shown(5, 9, 2, kept=(2,)), NOTHING, 1).ranks == (5, 2)

    def test_a_redraw_changes_all_but_the_kept_in_their_places(self):
        ranks = filled_in(blank(), shown(5, 9, 2, kept=(9,)), DrawRequest(redraw=True), 1).ranks
        assert ranks[1] == 9
        assert not {5, 2} & set(ranks)

    def test_a_swap_changes_one_in_its_place(self):
        ranks = filled_in(blank(), shown(5, 9, 2), DrawRequest(swaps=("7 9",)), 1).ranks
        assert (ranks[0], ranks[2]) == (5, 2)
        assert ranks[1] not in (5, 9, 2)

    def test_two_swaps_at_once_change_two(self):
        ranks = filled_in(blank(), shown(5, 9, 2), DrawRequest(swaps=("7 9", "7 5")), 1).ranks
        assert ranks[2] == 2
        assert not {5, 9} & set(ranks)

    def test_a_swap_for_another_student_changes_nothing_here(self):
        assert filled_in(blank(), shown(5, 9, 2), DrawRequest(swaps=("8 9",)), 1).ranks == (5, 9, 2)

    def test_the_same_wish_gives_the_same_draw(self):
        once, again = (filled_in(blank(), shown(5, 9), DrawRequest(redraw=True), 4) for _ in "12")
        assert once == again

    def test_what_was_sent_away_stays_away(self):
        seen, before = set(), PostedDraw()
        for seed in range(12):
            drawn = filled_in(blank(), before, DrawRequest(redraw=True), seed)
            assert not seen & set(drawn.ranks)
            seen |= set(drawn.ranks)
            before = PostedDraw(drawn.key, drawn.ranks, gone=drawn.gone)
        assert set(before.gone) | set(before.ranks) == seen

    def test_what_is_taken_back_by_asking_for_fewer_may_come_again(self):
        assert filled_in(blank(2), shown(5, 9, 2), NOTHING, 1).gone == ()

    def test_numbers_of_another_space_are_not_taken_over(self):
        ranks = filled_in(blank(), shown(5, 9, 2, key="another"), NOTHING, 1).ranks
        assert ranks == filled_in(blank(), PostedDraw(), NOTHING, 1).ranks

    def test_a_fill_the_student_has_meanwhile_is_replaced(self):
        ranks = filled_in(blank(had={9}), shown(5, 9, 2), NOTHING, 1).ranks
        assert (ranks[0], ranks[2]) == (5, 2)
        assert ranks[1] != 9

    def test_a_number_beyond_the_space_is_replaced(self):
        assert LARGE.size not in filled_in(blank(), shown(LARGE.size), NOTHING, 1).ranks

    def test_what_was_sent_away_comes_back_where_nothing_else_is_left(self):
        small = space_of_size(4)
        before = shown(0, 1, 2, key=key_of(small))
        after = filled_in(blank(3, small), before, DrawRequest(redraw=True), 1)
        assert 3 in after.ranks
        assert len(set(after.ranks)) == 3

    @given(
        size=st.integers(1, 6),
        asked=st.integers(1, 8),
        had=st.sets(st.integers(0, 5)),
        on_page=st.lists(st.integers(0, 9), unique=True, max_size=8),
        kept=st.sets(st.integers(0, 9)),
        wish=st.sampled_from([NOTHING, DrawRequest(redraw=True), DrawRequest(swaps=("7 1",))]),
        seed=st.integers(0, 99),
    )
    def test_all_that_are_free_and_asked_for_are_given_once(
        self, size, asked, had, on_page, kept, wish, seed
    ):
        space = space_of_size(size)
        free = set(range(space.size)) - had
        before = PostedDraw(key_of(space), tuple(on_page), frozenset(kept))
        drawn = filled_in(blank(asked, space, had), before, wish, seed)
        assert len(drawn.ranks) == len(set(drawn.ranks)) == min(asked, len(free))
        assert set(drawn.ranks) <= free
        if len(kept & free & set(on_page)) <= asked and wish != DrawRequest(swaps=("7 1",)):
            assert kept & free & set(on_page) <= set(drawn.ranks)


class TestShown:
    def read(self, query: str) -> PostedDraw:
        return PostedDraw.in_form(QueryDict(query), MIRA)

    def test_is_read_from_the_students_own_fields(self):
        query = "space-7=k&fill-7=5&fill-7=2&keep-7=2&fill-8=99&keep-8=99&gone-7=4+x+1&gone-8=9"
        assert self.read(query) == PostedDraw("k", (5, 2), frozenset({2}), (4, 1))

    @pytest.mark.parametrize("wrong", ["", "-1", "1.5", "many", "１", "9" * 5000])
    def test_what_is_no_number_was_not_shown(self, wrong):
        data = QueryDict(mutable=True)
        data.setlist("fill-7", ["3", wrong])
        assert PostedDraw.in_form(data, MIRA).ranks == (3,)

    def test_a_number_sent_twice_is_one_fill(self):
        assert self.read("fill-7=5&fill-7=5").ranks == (5,)


class TestKey:
    @pytest.mark.parametrize(
        "other",
        [
            FillSpace(Bar.from_counts("1 & 2 & 3 & 4 &"), LARGE.rule_set, LARGE.kit),
            FillSpace(LARGE.bar, RuleSet(()), LARGE.kit),
            FillSpace(LARGE.bar, LARGE.rule_set, Kit.of(["snare", "ride"])),
            FillSpace(LARGE.bar, LARGE.rule_set, Kit.standard(left_handed=True)),
        ],
        ids=["bar", "rules", "kit", "hands"],
    )
    def test_differs_with_all_that_numbers_the_fills(self, other):
        assert key_of(other) != KEY

    def test_is_the_same_for_the_same(self):
        assert key_of(FillSpace(LARGE.bar, LARGE.rule_set, LARGE.kit)) == KEY


class TestWords:
    def draws(self, *numbers: int) -> list[Draw]:
        names = ("Mira", "Tom", "Ada", "Ben")
        return [
            Draw(Student(pk=at, nickname=names[at]), LARGE, frozenset(), 3, tuple(range(number)))
            for at, number in enumerate(numbers)
        ]

    @pytest.mark.parametrize(
        ("numbers", "sentence"),
        [
            ((3,), "Assign 3 fills to Mira"),
            ((1,), "Assign 1 fill to Mira"),
            ((3, 3), "Assign 3 fills each to Mira and Tom"),
            ((3, 1), "Assign 3 fills to Mira and 1 fill to Tom"),
            ((2, 2, 2), "Assign 2 fills each to Mira, Tom and Ada"),
            ((3, 3, 3, 3), "Assign 12 fills to 4 students"),
        ],
    )
    def test_the_button_says_what_will_happen(self, numbers, sentence):
        assert what_will_happen(self.draws(*numbers)) == sentence

    def test_a_small_space_is_named_as_the_reason(self):
        draw = Draw(MIRA, space_of_size(2), frozenset(), 3, (0, 1))
        assert draw.shortage == "This bar and rule set allow only 2 fills here. All are shown."

    def test_what_the_student_has_is_named_as_the_reason(self):
        draw = Draw(MIRA, space_of_size(4), frozenset({1, 3}), 3, (0, 2))
        assert draw.shortage == "Mira has 2 of the 4 fills already. What is left is shown."

    def test_enough_fills_need_no_reason(self):
        assert Draw(MIRA, LARGE, frozenset(), 2, (0, 1)).shortage == ""
