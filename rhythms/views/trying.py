"""Which bar, kit and hands a rule set is tried on, from what the page sent."""

from typing import Any

from django.http import Http404, QueryDict

from rhythms.engine import RuleSet as Rules
from rhythms.forms.rules import Problem
from rhythms.models import SourceBar
from rhythms.trial import LEFT, RIGHT, Trial
from studio.access import owned
from studio.models import Kit
from studio.requests import TeacherRequest

_HANDS = {RIGHT: "", LEFT: ", left-handed"}


def trial_page(
    request: TeacherRequest, rules: Rules | None, sent: QueryDict, problems: list[Problem]
) -> dict[str, Any]:
    """What `rhythms/trial.html` needs; no trial without rules or without a bar.

    Raises Http404 for a bar or a kit that is not the studio's.
    """
    bars, kits = list(request.studio.bars.kept()), list(request.studio.kits.kept())
    bar = _chosen(request, SourceBar, sent.get("bar"), bars)
    kit_pk, _, hands = sent.get("kit", "").partition("-")
    kit = _chosen(request, Kit, kit_pk, sorted(kits, key=lambda each: each.pk))
    hands = hands if hands in _HANDS else RIGHT
    trial = Trial(rules, bar, kit, hands, _seed(sent)) if rules is not None and bar else None
    return {
        "bars": bars,
        "bar": bar,
        "kits": [
            (f"{each.pk}-{side}", f"{each}{words}")
            for each in kits
            for side, words in _HANDS.items()
        ],
        "kit": f"{kit.pk}-{hands}" if kit else "",
        "trial": trial,
        "problems": problems,
    }


def _chosen(request: TeacherRequest, kind: Any, pk: str | None, kept: list[Any]) -> Any:
    """The one with this pk, or the first where none is named."""
    if not pk:
        return kept[0] if kept else None
    if not pk.isdecimal():
        raise Http404
    return owned(request, kind, int(pk))


def _seed(sent: QueryDict) -> int:
    seed = sent.get("seed", "")
    return int(seed) if seed.isdecimal() and len(seed) < 10 else 1
