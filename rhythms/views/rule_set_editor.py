"""Writing a rule set: sentences with fields, and what they make of a bar while they change."""

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST
from django_htmx.http import trigger_client_event

from rhythms.forms.rules import RULE_CHOICES, RuleRows, RuleSetForm
from rhythms.models import RuleSet
from rhythms.views.trying import trial_page
from studio.access import owned, teacher_required
from studio.requests import TeacherRequest

FIRST_RULE = "placement"


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def new(request: TeacherRequest) -> HttpResponse:
    return _edit(request, RuleSet(), "New rule set")


@require_http_methods(["GET", "HEAD", "POST"])
@teacher_required
def edit(request: TeacherRequest, pk: int) -> HttpResponse:
    rule_set = owned(request, RuleSet, pk)
    return _edit(request, rule_set, f"Edit {rule_set}")


def _edit(request: TeacherRequest, rule_set: RuleSet, title: str) -> HttpResponse:
    if request.method == "POST":
        return _save(request, rule_set, title)
    rows = RuleRows.of(rule_set.rules) if rule_set.pk else RuleRows([]).with_new(FIRST_RULE)
    form = RuleSetForm(instance=rule_set, studio=request.studio, rows=rows)
    page = trial_page(request, rule_set.rule_set if rule_set.pk else None, request.GET, [])
    return _show(request, form, title, page)


def _save(request: TeacherRequest, rule_set: RuleSet, title: str) -> HttpResponse:
    rows = RuleRows.sent(request.POST)
    form = RuleSetForm(request.POST, instance=rule_set, studio=request.studio, rows=rows)
    if form.save_or_refuse():
        messages.success(request, f"“{rule_set}” is saved.")
        return redirect("rhythms:rule-set", rule_set.pk)
    return _show(request, form, title, _trial_of_rows(request, rows))


def _show(request: TeacherRequest, form: RuleSetForm, title: str, trial: dict) -> HttpResponse:
    page = {"form": form, "rows": form.rows, "title": title, "here": "rule-sets"}
    page |= {"rule_choices": RULE_CHOICES, "live": True}
    return render(request, "rhythms/rule_set_editor.html", page | trial)


@require_POST
@teacher_required
def preview(request: TeacherRequest) -> HttpResponse:
    """What the rules on the page make of the chosen bar."""
    page = _trial_of_rows(request, RuleRows.sent(request.POST))
    return render(request, "rhythms/trial_result.html", page | {"live": True})


def _trial_of_rows(request: TeacherRequest, rows: RuleRows) -> dict:
    rules = rows.rules() if rows and rows.is_valid() else None
    return trial_page(request, rules, request.POST, rows.problems())


@require_POST
@teacher_required
def rows(request: TeacherRequest) -> HttpResponse:
    """The rows after one was added, moved or taken out; what is typed in them stays."""
    changed = _changed(RuleRows.sent(request.POST).unjudged(), request.POST)
    page = {"rows": changed, "rule_choices": RULE_CHOICES}
    response = render(request, "rhythms/rule_rows.html", page)
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
