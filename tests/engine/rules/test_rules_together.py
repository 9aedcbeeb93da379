"""What each rule means for strokes together, case by case."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rhythms.engine import Bar, Fill, FillSpace, Kit, RuleSet, Stroke, Surface
from rhythms.engine.fills.fill import Hit, other_hand, stroke_of
from rhythms.engine.rules import REGISTRY
from rhythms.engine.space.conflict import conflict, conflict_in_words
from rhythms.engine.space.explain import explain
from tests.engine.rules_at_random import BARS, both_hands, feet, stickings, touches, watchers
from tests.thoroughness import examples

STANDARD, MIRRORED = Kit.standard(), Kit.standard(left_handed=True)
LETTERS = {
    "s": Surface.SNARE,
    "h": Surface.HIGH_TOM,
    "m": Surface.MID_TOM,
    "f": Surface.FLOOR_TOM,
    "x": Surface.CRASH,
    "r": Surface.RIDE,
    "c": Surface.HI_HAT,
    "o": Surface.OPEN_HI_HAT,
    "b": Surface.BASS_DRUM,
    "p": Surface.HI_HAT_FOOT,
}
FOOT = {"b": "RF", "p": "LF"}


def struck(text: str) -> Stroke:
    """Letters of surfaces with + between them: ``sL+fR+b``; hands behind them, ! for an accent."""
    hits = [
        Hit(
            LETTERS[part[0]],
            FOOT.get(part[0]) or ("R" if "R" in part else "L" if "L" in part else None),
            "accent" if "!" in part else "normal",
        )
        for part in text.split("+")
    ]
    return stroke_of(hits)


def broken(rule: dict, line: str) -> list[int | None]:
    """The notes that break a rule, on so many quarters; None for the fill as a whole."""
    strokes = tuple(map(struck, line.split()))
    bar = Bar.from_counts(" ".join(str(n + 1) for n in range(len(strokes))), f"{len(strokes)}/4")
    space = FillSpace(bar, RuleSet.from_json([rule]), STANDARD)
    return [v.note for v in explain(space, Fill(bar, strokes)) if v.kept is False]


def rule(name: str, **parts: object) -> dict:
    return {"rule": name, **parts}


TOMS, BUT_TOMS = rule("placement", surfaces=["toms"]), {"anything but": ["toms"]}
SNARE_OR_BASS = rule("placement", surfaces=["snare", "bass drum"])
PARADIDDLE = {"rudiment": "single paradiddle", "lead": "R"}
KEPT = [
    (TOMS, "s+f h x+m+b"),
    (rule("placement", surfaces=BUT_TOMS), "s+x x+b s+r+p"),
    (SNARE_OR_BASS, "s+x b x+b"),
    (rule("placement", surfaces={"anything but": ["hi-hat foot"]}), "x+b s+r"),
    (rule("start on", surfaces=["floor tom"]), "s+f x x+b r"),
    (rule("end on", surfaces=["crash"]), "s s s s+x"),
    (rule("at most in a row", n=2), "s+x s+f f h+b x+b"),
    (rule("visit at least", surfaces=5), "s+x+b f+r"),
    (rule("use at most", surfaces=3), "s+x+b s s+x"),
    (rule("alternate families"), "s+f x+b s+m r"),
    (rule("round the kit", way="down", drums=4), "s+h m x+m m+f f+b"),
    (rule("break the path", k=3), "h+x m s f"),
    (rule("groups", n=3), "s+x f h x+h f m s+x"),
    (rule("answer"), "s+x h s+x m"),
    (rule("answer", keeps="moves"), "s+x s+x h+b h+b"),
    (rule("doubles together"), "sL+fR sL fR xL"),
    (rule("hands apart"), "cR rL+cR sR+cL"),
    (rule("no hand crosses"), "sL+fR cL xL+rR"),
    (rule("sticking", **PARADIDDLE), "sR sL+fR sR sR+fL"),
    (rule("sticking", **PARADIDDLE, counts=["1"]), "sR sL sR+fL sR sL sL+fR sL"),
    (rule("linear", pattern="RLF", counts=["1", "2", "3"]), "sR sL b sR+fL"),
    (rule("dynamics", dynamic="accent"), "s!+f! x!+b"),
    (rule("dynamics", dynamic="accent", n=1), "s!+f! x+b"),
    (rule("hand stays", hand="R", surfaces=["ride"]), "sL+rR+b hL rR"),
    (rule("feet", on="notes", foot="either foot"), "b b+p"),
    (rule("both hands", one=["snare"], other=["toms"]), "s+f s+h+b"),
    (rule("both hands", one=["hi-hat"], other=["snare"]), "s+c s+o"),
    (rule("both hands", one=["snare"], other=["toms"], n=1), "s+f h+x s"),
    (rule("foot under"), "x+b s s+x+b"),
    (rule("foot under", when="maybe"), "x x+b"),
    (rule("foot under", surfaces=["hi-hat"], foot="hi-hat foot"), "c+p o+p b"),
]
BROKEN = [
    (TOMS, "s+x f", [0]),
    (rule("placement", surfaces=BUT_TOMS), "s+x s+f", [1]),
    (SNARE_OR_BASS, "x+r+p s", [0]),
    (rule("placement", surfaces={"anything but": ["hi-hat foot"]}), "x+p s", [0]),
    (rule("end on", surfaces=["crash"]), "x s+f", [1]),
    (rule("at most in a row", n=2), "s+b x+b f+b", [2]),
    (rule("visit at least", surfaces=4), "s+x+b s", [None]),
    (rule("use at most", surfaces=3), "s+x+b f", [1]),
    (rule("alternate families"), "x+b s+b", [1]),
    (rule("alternate families"), "s+f m", [1]),
    (rule("round the kit", way="down", drums=2), "s+m h", [1]),
    (rule("break the path", k=3), "h+x s+m f+b", [2]),
    (rule("break the path", k=3, repeats="goes on"), "h h+m m f", [3]),
    (rule("groups", n=3), "s+x f s+x x", [2]),
    (rule("answer"), "s+x h s m", [2, 3]),
    (rule("doubles together"), "sL+fR hR", [1]),
    (rule("hands apart"), "sL+cR cL", [1]),
    (rule("no hand crosses"), "sR+fL sR", [0]),
    (rule("no hand crosses"), "cL+sR fL", [1]),
    (rule("sticking", **PARADIDDLE), "sL sL+fR", [0]),
    (rule("linear", pattern="RLF"), "sR sL+fR b", [1]),
    (rule("linear", pattern="RLF"), "sR sL sR+b", [2]),
    (rule("dynamics", dynamic="accent"), "s!+f x!", [0]),
    (rule("hand stays", hand="R", surfaces=["ride"]), "sR+rL rR", [0]),
    (rule("feet", on="notes", foot="bass drum"), "b s+b b+p", [1, 2]),
    (rule("both hands", one=["snare"], other=["toms"]), "s+f s h+m", [1, 2]),
    (rule("both hands", one=["snare"], other=["toms"], n=1), "s+f s+m s", [1]),
    (rule("foot under"), "x s+x+p s", [0, 1]),
]


@pytest.mark.parametrize(("rule", "line"), KEPT)
def test_a_line_with_strokes_together_keeps_a_rule(rule, line):
    assert broken(rule, line) == []


@pytest.mark.parametrize(("rule", "line", "notes"), BROKEN)
def test_a_line_with_strokes_together_breaks_a_rule_where_it_does(rule, line, notes):
    assert broken(rule, line) == notes


#: An ornament takes both hands already; feet that keep going are under all strokes.
NOT_TOGETHER = {"ornament", "feet keep going"}


def test_every_rule_on_strokes_is_among_these():
    shown = {rule["rule"] for rule, *_ in (*KEPT, *BROKEN)}
    of_strokes = {name for name, kind in REGISTRY.items() if kind.purpose != "the rhythm"}
    assert shown == of_strokes - NOT_TOGETHER


def test_an_explanation_names_all_that_was_struck():
    bar = Bar.from_counts("1 2", "2/4")
    space = FillSpace(bar, RuleSet.from_json([TOMS]), STANDARD)
    first, _ = explain(space, Fill(bar, (struck("s!L+x!R+b"), struck("f"))))
    assert first.words == (
        "1, accented snare with the accented crash and the bass drum, left and right hand: "
        "breaks “All notes go on the toms”."
    )


def test_hands_that_are_not_known_leave_a_rule_about_hands_open_for_two_of_them_too():
    bar = Bar.from_counts("1 2", "2/4")
    both = rule("both hands", one=["snare"], other=["toms"])
    rules = RuleSet.from_json([both, rule("hands apart"), rule("sticking", **PARADIDDLE)])
    verdicts = explain(FillSpace(bar, rules, STANDARD), Fill(bar, (struck("s+f"), struck("x"))))
    # Whichever hand is on which, both hands have the letter.
    assert [verdict.kept for verdict in verdicts] == [True, False, None, None, True, None]


# --- what kits lack, and rules that clash ------------------------------------------------


def words_of(rules: list[dict], kit: Kit = STANDARD, counts: str = "1 2 & 3 4") -> str:
    return conflict_in_words(FillSpace(Bar.from_counts(counts), RuleSet.from_json(rules), kit))


PAD = Kit.of(["snare", "crash"])


@pytest.mark.parametrize(
    ("asked", "kit", "why"),
    [
        (rule("both hands", one=["snare"], other=["toms"]), PAD, "this kit has no toms"),
        (rule("both hands", one=["cowbell"], other=["snare"]), PAD, "this kit has no cowbell"),
        (
            rule("both hands", one=["snare"], other=["anything"]),
            Kit.of(["snare"]),
            "this kit has nothing else for the other hand",
        ),
        (
            rule("both hands", one=["snare"], other=["crash"], n=3, values=["quarter"]),
            PAD,
            "",
        ),
        (
            rule("both hands", one=["snare"], other=["crash"], n=6),
            PAD,
            "this bar has only 5 notes",
        ),
        (rule("foot under", surfaces=["anything"]), PAD, "this kit has no bass drum"),
    ],
)
def test_what_a_kit_or_bar_lacks_is_said(asked, kit, why):
    words = words_of([asked], kit)
    assert words.endswith(f"cannot hold: {why}.") if why else words == ""


def test_a_crash_without_a_bass_drum_to_go_under_it_is_left_out():
    space = FillSpace(Bar.from_counts("1 2 3 4"), RuleSet.from_json([rule("foot under")]), PAD)
    assert space.size == 1


CLASHES = [
    [rule("both hands", one=["snare"], other=["toms"]), rule("linear", pattern="RL")],
    [
        rule("both hands", one=["snare"], other=["toms"], counts=["2 &"]),
        rule("feet", on="notes", position="off the beat", foot="bass drum"),
    ],
    [rule("both hands", one=["snare"], other=["toms"]), rule("ornament", ornament="flam")],
    [
        rule("both hands", one=["snare"], other=["toms"]),
        rule("placement", surfaces={"anything but": ["snare"]}),
    ],
    [rule("foot under"), rule("start on", surfaces=["crash"]), rule("linear", pattern="RL")],
    [rule("foot under"), rule("end on", surfaces=["crash"]), rule("use at most", surfaces=1)],
]


@pytest.mark.parametrize("rules", CLASHES)
def test_rules_that_clash_about_strokes_together_are_named_and_no_others(rules):
    more = [rule("at most in a row", n=5), rule("both hands", one=["ride"], other=["snare"], n=0)]
    space = FillSpace(
        Bar.from_counts("1 2 & 3 4"), RuleSet.from_json([more[0], *rules, more[1]]), STANDARD
    )
    assert {str(each.to_json()) for each in conflict(space)} == {
        str(each.to_json()) for each in RuleSet.from_json(rules).rules
    }


# --- left-handed players -----------------------------------------------------------------


def mirrored(fill: Fill) -> Fill:
    """Every hand and foot swapped."""
    swap = {"R": "L", "L": "R", "RF": "LF", "LF": "RF"}
    return Fill(
        fill.bar,
        tuple(
            stroke_of((hit._replace(limb=swap.get(hit.limb)) for hit in s.hits), s.ornament)
            for s in fill.strokes
        ),
    )


FEW, FEW_MIRRORED = (
    Kit.of(["snare", "floor tom", "crash", "bass drum"], left_handed=left) for left in (False, True)
)


@examples(100, quick=30)
@given(
    st.sampled_from(BARS),
    st.lists(st.one_of(both_hands, feet, stickings, touches, watchers), max_size=3),
    st.integers(0, 99),
)
def test_a_left_handed_player_has_the_same_fills_with_the_hands_swapped(bar, rules, seed):
    rules = [*rules, rule("both hands", one=["snare"], other=["anything"], n=1)]
    right = RuleSet.from_json(rules)
    space, other = FillSpace(bar, right, FEW), FillSpace(bar, right.mirrored(), FEW_MIRRORED)
    assert space.size == other.size
    for fill in space.sample(min(5, space.size), seed):
        assert mirrored(fill) in other


@pytest.mark.parametrize(("other", "snare_by"), [("hi-hat", {"R", "L"}), ("floor tom", {"L"})])
def test_hands_left_to_the_player_are_counted_once_and_fixed_ones_as_they_can_be(other, snare_by):
    """They do not cross but over the hi-hat."""
    both = rule("both hands", one=["snare"], other=[other])
    bar = Bar.from_counts("1 2", "2/4")
    assert FillSpace(bar, RuleSet.from_json([both]), STANDARD).size == 1
    space = FillSpace(bar, RuleSet.from_json([both, rule("doubles together")]), STANDARD)
    fills = space.sample(space.size, seed=1)
    assert {fill.strokes[0].limb for fill in fills} == snare_by
    assert all(other_hand(s.limb) == s.beside[0].limb for fill in fills for s in fill.strokes)
