"""The rule sets of a studio: list, editor, and what they make of a bar."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import Http404, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django_htmx.http import trigger_client_event

from rhythms.engine import RuleSet as Rules
from rhythms.models import RuleSet, SourceBar
from rhythms.rule_sets.begun_rule_set import begun_with, over_other_feet
from rhythms.rule_sets.forms import RULE_CHOICES, Problem, RuleRows, RuleSetForm
from rhythms.rule_sets.presets import PRESETS
from rhythms.rule_sets.rules_preview import LEFT, RIGHT, RulesPreview
from studio import removal_views
from studio.access import owned, owned_or_removed, teacher_required
from studio.accounts.throttling import CountsByPerson, minutes_to_wait
from studio.forms import number_in
from studio.models import Kit
from studio.once import once
from studio.pagination import page_of
from studio.request_types import TeacherRequest

FIRST_RULE = "placement"
_LARGEST_SEED = 999_999_999
_HANDS = {RIGHT: "", LEFT: ", left-handed"}


@require_safe
@teacher_required
def rule_sets(request: TeacherRequest) -> HttpResponse:
    page = {"page": page_of(request, request.studio.rule_sets.kept()), "here": "rule-sets"}
    return render(request, "rhythms/rule_sets/rule_sets.html", page)


@require_safe
@teacher_required
def rule_set(request: TeacherRequest, pk: int) -> HttpResponse:
    """What it says, and what it makes of a bar."""
    kept = owned(request, RuleSet, pk)
    page = {"rule_set": kept, "here": "rule-sets"}
    page |= trial_page(request, kept.rule_set, request.GET, problems=[])
    return render(request, "rhythms/rule_sets/rule_set.html", page)


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def rule_set_remove(request: TeacherRequest, pk: int) -> HttpResponse:
    return removal_views.ask_and_remove(
        request,
        owned(request, RuleSet, pk),
        consequence=("It leaves your rule sets. Students keep the fills they have by it."),
        back=reverse("rhythms:rule-sets"),
        undo=reverse("rhythms:rule-set-restore", args=[pk]),
    )


@require_POST
@teacher_required
def rule_set_restore(request: TeacherRequest, pk: int) -> HttpResponse:
    kept = owned_or_removed(request, RuleSet, pk)
    return removal_views.undo(request, kept, back=reverse("rhythms:rule-sets"))


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
@once
def rule_set_new(request: TeacherRequest) -> HttpResponse:
    """An empty one, or what the address names to start from; saved, it leads on to `then`."""
    return _edit(request, _begun(request), "New rule set")


def _begun(request: TeacherRequest) -> RuleSet:
    if (pk := request.GET.get("over_other_feet")) is None:
        return begun_with(request.GET)
    if (number := number_in(pk)) is None:
        raise Http404
    return over_other_feet(owned_or_removed(request, RuleSet, number))


def _next_page(request: TeacherRequest) -> str:
    """The page of this site that a new rule set is for, or ""."""
    then = request.GET.get("then", "")
    is_here = then.startswith("/") and url_has_allowed_host_and_scheme(then, allowed_hosts=None)
    return then if is_here else ""


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def rule_set_edit(request: TeacherRequest, pk: int) -> HttpResponse:
    rule_set = owned(request, RuleSet, pk)
    return _edit(request, rule_set, f"Edit {rule_set}")


def _edit(request: TeacherRequest, rule_set: RuleSet, title: str) -> HttpResponse:
    if request.method == "POST":
        return _save(request, rule_set, title)
    begun = rule_set.pk or rule_set.rules
    rows = RuleRows.of(rule_set.rules) if begun else RuleRows([]).with_new(FIRST_RULE)
    form = RuleSetForm(instance=rule_set, studio=request.studio, rows=rows)
    page = trial_page(request, rule_set.rule_set if begun else None, request.GET, [])
    return _show(request, form, title, page)


def _save(request: TeacherRequest, rule_set: RuleSet, title: str) -> HttpResponse:
    rows = RuleRows.sent(request.POST)
    form = RuleSetForm(request.POST, instance=rule_set, studio=request.studio, rows=rows)
    if form.save_or_refuse():
        messages.success(request, f"“{rule_set}” is saved.")
        if then := _next_page(request):
            return HttpResponseRedirect(
                f"{then}{'&' if '?' in then else '?'}rule_set={rule_set.pk}"
            )
        return redirect("rhythms:rule-set", rule_set.pk)
    return _show(request, form, title, _trial_of_rows(request, rows))


def _show(request: TeacherRequest, form: RuleSetForm, title: str, trial: dict) -> HttpResponse:
    page = {"form": form, "rows": form.rows, "title": title, "here": "rule-sets"}
    page |= {"rule_choices": RULE_CHOICES, "live": True, "then": _next_page(request)}
    if form.instance.pk is None and not form.is_bound and not page["then"]:
        page["presets"] = PRESETS
    return render(request, "rhythms/rule_sets/rule_set_editor.html", page | trial)


@require_POST
@teacher_required
def rule_set_preview(request: TeacherRequest) -> HttpResponse:
    """What the rules on the page make of the chosen bar."""
    page = _trial_of_rows(request, RuleRows.sent(request.POST))
    return render(request, "rhythms/rule_sets/rules_preview_result.html", page | {"live": True})


def _trial_of_rows(request: TeacherRequest, rows: RuleRows) -> dict:
    rules = rows.rules() if rows and rows.is_valid() else None
    return trial_page(request, rules, request.POST, rows.problems())


@require_POST
@teacher_required
def rule_set_rows(request: TeacherRequest) -> HttpResponse:
    """The rows after one was added, moved or taken out; what is typed in them stays."""
    changed = _changed(RuleRows.sent(request.POST).unjudged(), request.POST)
    page = {"rows": changed, "rule_choices": RULE_CHOICES}
    response = render(request, "rhythms/rule_sets/rule_rows.html", page)
    return trigger_client_event(response, "rules-changed", after="settle")


def _changed(rows: RuleRows, sent: QueryDict) -> RuleRows:
    what, _, prefix = sent.get("do", "").partition(":")
    if what == "add":
        return rows.with_new(sent.get("new_rule", ""))
    if what == "remove":
        return rows.without(prefix)
    if what in ("up", "down"):
        return rows.moved(prefix, -1 if what == "up" else +1)
    raise BadRequest(f"Rows cannot {what!r}.")


def trial_page(
    request: TeacherRequest, rules: Rules | None, sent: QueryDict, problems: list[Problem]
) -> dict[str, Any]:
    """What `rhythms/rule_sets/rules_preview.html` needs; no trial without rules or without a bar,
    nor to somebody who asked for too many.

    Raises Http404 for a bar or a kit that is not the studio's.
    """
    bars, kits = list(request.studio.bars.kept()), list(request.studio.kits.kept())
    bar = _chosen(request, SourceBar, sent.get("bar"), bars)
    kit_pk, _, hands = sent.get("kit", "").partition("-")
    kit = _chosen(request, Kit, kit_pk, sorted(kits, key=lambda each: each.pk))
    hands = hands if hands in _HANDS else RIGHT
    trial, wait = None, False
    if rules is not None and bar:
        wait = minutes_to_wait(request, CountsByPerson) > 0
        trial = None if wait else RulesPreview(rules, bar, kit, hands, _seed(sent))
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
        "wait": wait,
        "problems": problems,
    }


def _chosen(request: TeacherRequest, kind: Any, pk: str | None, kept: list[Any]) -> Any:
    """The one with this pk, or the first where none is named."""
    if not pk:
        return kept[0] if kept else None
    number = number_in(pk)
    if number is None:
        raise Http404
    return owned(request, kind, number)


def _seed(sent: QueryDict) -> int:
    return number_in(sent.get("seed", ""), _LARGEST_SEED) or 1
