"""Random rules of every kind, bars and kits, small enough to list their fills."""

from __future__ import annotations

from hypothesis import strategies as st

from rhythms.engine import Bar, Kit
from rhythms.engine.rudiments.overlays import STICKINGS

KITS = [
    Kit.of(["snare", "high tom", "floor tom", "bass drum"]),
    Kit.of(["high tom", "mid tom", "floor tom"], left_handed=False),
    Kit.of(["snare", "hi-hat", "cowbell", "bass drum", "hi-hat foot"]),
    Kit.of(["snare", "ride", "ride bell"]),
]
# All on the grid of 16ths, so that slots are easily counted by hand.
BARS = [
    Bar.from_counts(line, meter)
    for line, meter in [
        ("1 e & a", "1/4"),
        ("1> & a>", "1/4"),
        ("1 & a 2", "2/4"),
        ("(1) e & 2> a", "2/4"),
        ("1 e (&) a 2", "2/4"),
        ("1 e a (2) &", "2/4"),
    ]
]
COUNTS = ["1", "1 e", "1 &", "1 a", "2", "2 &", "2 a"]


def some(*values: object) -> st.SearchStrategy:
    return st.sampled_from(values)


scopes = st.fixed_dictionaries(
    {},
    optional={
        "values": some(["16th"], ["eighth"], ["16th", "quarter"], ["dotted eighth"]),
        "position": some("on the beat", "off the beat"),
        "counts": st.lists(some(*COUNTS), min_size=1, max_size=4, unique=True),
        "accent": some("accented", "not accented"),
    },
)
surfaces = some(
    ["snare"],
    ["toms"],
    ["bells", "snare"],
    ["anything"],
    {"anything but": ["snare"]},
    ["bass drum"],
    ["snare", "bass drum"],
    ["splash"],
    ["open hi-hat"],
    ["snare", "rim shot", "stick on stick"],
    ["hi-hat", "half-open hi-hat", "open hi-hat"],
    {"anything but": ["open hi-hat", "snare"]},
)
hand_surfaces = some(
    ["floor tom"],
    ["anything"],
    ["cymbals", "high tom"],
    ["open hi-hat", "mid tom"],
    {"anything but": ["snare"]},
)
numbers = st.fixed_dictionaries({}, optional={"n": st.integers(0, 3)})


def rule(name: str, **parts: st.SearchStrategy) -> st.SearchStrategy[dict]:
    return st.fixed_dictionaries({"rule": st.just(name), **parts})


def with_scope(strategy: st.SearchStrategy[dict]) -> st.SearchStrategy[dict]:
    return st.builds(lambda made, scope: {**made, **scope}, strategy, scopes)


placements = with_scope(rule("placement", surfaces=surfaces))
_STICKING = {
    "rudiment": some(*sorted(STICKINGS)),
    "lead": some("R", "L"),
    "follow": some("notes", "grid"),
    "restart": some("never", "beat"),
    "others": some("alternate", "grid", "free"),
}
stickings = with_scope(
    st.one_of(
        rule("sticking", **_STICKING), rule("sticking", **_STICKING, accents=some("rudiment"))
    )
)
touches = with_scope(
    st.builds(
        lambda made, number: {**made, **number},
        st.one_of(
            rule("dynamics", dynamic=some("accent", "ghost")),
            rule("ornament", ornament=some("flam", "drag", "diddle", "buzz")),
            rule("ornament", ornament=some("flam", "drag"), lead=some("R", "L", "either")),
        ),
        numbers,
    )
)
both_hands = with_scope(
    st.builds(
        lambda made, number: {**made, **number},
        rule("both hands", one=some(["snare"], ["anything"], ["toms"]), other=hand_surfaces),
        numbers,
    )
)
feet = with_scope(
    st.one_of(
        rule(
            "foot under",
            foot=some("bass drum", "hi-hat foot"),
            surfaces=hand_surfaces,
            when=some("always", "maybe"),
        ),
        rule(
            "feet", on=some("rests", "notes"), foot=some("bass drum", "hi-hat foot", "either foot")
        ),
        rule("linear", pattern=some("RLF", "RLFF", "FRL", "RH")),
    )
)
watchers = st.one_of(
    rule("at most in a row", n=st.integers(1, 3)),
    rule("hands apart"),
    rule("no hand crosses"),
    rule("break the path", k=st.integers(2, 3)),
    rule("break the path", k=st.integers(2, 3), repeats=st.just("goes on")),
    rule("visit at least", surfaces=st.integers(1, 4)),
    rule("groups", n=st.integers(3, 5)),
    rule("groups", n=st.just(3), pattern=some("3-2", "1-2", "2-1-2")),
    rule("round the kit", way=some("down", "up"), drums=st.integers(2, 3)),
    rule("answer"),
    rule("answer", keeps=some("moves")),
    rule("use at most", surfaces=st.integers(1, 4)),
    rule("alternate families"),
    rule("doubles together"),
    rule("start on", surfaces=surfaces),
    rule("end on", surfaces=surfaces),
)
stays = with_scope(
    rule(
        "hand stays",
        hand=some("R", "L"),
        surfaces=some(["snare"], ["toms"], ["ride"], {"anything but": ["snare"]}),
    )
)
rhythms = st.one_of(
    rule("play backwards"),
    rule("start later"),
    rule("start later", on=some("e", "a")),
    rule("own answer"),
    rule("phrase", bars=some("2", "4"), smaller=st.integers(0, 1)),
)
going_feet = st.one_of(
    rule(
        "feet keep going",
        pattern=some("hi-hat foot on 2 and 4", "four on the floor", "samba", "baião"),
    ),
    rule(
        "feet keep going",
        pattern=st.just("typed"),
        bass_drum=some("1", "1 a", "(1) &"),
        meter=some("1/4", "2/4"),
    ),
    rule(
        "feet keep going",
        pattern=st.just("typed"),
        hi_hat_foot=some("1", "(1) &", "1 & a"),
        meter=some("1/4", "2/4"),
    ),
)
rules = st.one_of(
    *(placements, stickings, touches, both_hands, feet, watchers, watchers, stays, rhythms),
    going_feet,
)
rule_sets = st.lists(rules, max_size=4)
bars = st.sampled_from(BARS)
kits = st.sampled_from(KITS)
