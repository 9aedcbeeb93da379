"""The rule editor shows at once what a change makes: run with -s to see how soon."""

import statistics

import pytest
from playwright.sync_api import Page, expect

from rhythms.engine import FillSpace, Kit, RuleSet
from rhythms.models import SourceBar
from rhythms.space_sizes import in_words
from tests.browser.signing_in import open_as
from tests.browser.test_rule_set_editor import add, rule, size, tick

pytestmark = pytest.mark.django_db(transaction=True)

MOST_IN_A_ROW = [1, 2, 3, 4, 5, 6, 7, 8] * 5
#: Keeps the milliseconds from each change to the new result on the page.
WATCH = """() => {
  window.took = [];
  let changed = 0;
  document.addEventListener("change", () => { changed = performance.now(); }, true);
  new MutationObserver(() => {
    if (changed) window.took.push(performance.now() - changed);
    changed = 0;
  }).observe(document.getElementById("trial-result"), { childList: true });
}"""


def test_every_change_shows_the_exact_size_at_once(desktop: Page, teacher):
    page = open_as(desktop, teacher, "/rule-sets/new/")
    tick(page, 1, "Anything")
    add(page, "Move on after a few strokes")
    add(page, "Hands apart")
    bar = SourceBar.objects.get(pk=page.get_by_label("Bar", exact=True).input_value()).bar
    field = rule(page, 2).get_by_label("Strokes in a row")
    page.evaluate(WATCH)
    for most in MOST_IN_A_ROW:
        field.fill(str(most))
        field.blur()
        rules = [
            {"rule": "placement", "surfaces": ["anything"]},
            {"rule": "at most in a row", "n": most},
            {"rule": "hands apart"},
        ]
        space = FillSpace(bar, RuleSet.from_json(rules), Kit.standard())
        expect(size(page)).to_have_text(in_words(space.size))
    took = page.evaluate("window.took")
    slowest = statistics.quantiles(took, n=20)[-1]
    print(f"{len(took)} changes: median {statistics.median(took):.0f} ms, p95 {slowest:.0f} ms")  # noqa: T201
