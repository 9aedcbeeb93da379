"""A rule set: its name, and a row of fields for each of its rules."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple, Self

from django import forms
from django.core.exceptions import BadRequest
from django.forms import BoundField
from django.http import QueryDict

from rhythms.engine import RuleSet as Rules
from rhythms.engine.errors import RuleError
from rhythms.engine.rules import PURPOSES, REGISTRY, Rule
from rhythms.error_adapters import as_validation_error
from rhythms.forms import NamedForm
from rhythms.models import RuleSet
from rhythms.rule_sets.rule_fields import form_field
from studio.forms import number_in

#: The rules that can be added, in groups by what they are for.
RULE_CHOICES = [
    (
        purpose.capitalize(),
        [(name, rule.title) for name, rule in REGISTRY.items() if rule.purpose == purpose],
    )
    for purpose in PURPOSES
]


_LARGEST_ROW = 99_999


class Problem(NamedTuple):
    """What keeps rules from being read; `row` is the prefix of the row at fault, or ""."""

    row: str
    message: str


class RuleForm(forms.Form):
    """One rule; its prefix is its name on the page, wherever in the order it stands."""

    def __init__(
        self,
        rule: type[Rule],
        data: QueryDict | None = None,
        *,
        initial: dict[str, Any] | None = None,
        prefix: str | None = None,
    ) -> None:
        unsaid = {field.name: field.unsaid for field in rule.fields if field.unsaid}
        super().__init__(data, initial=unsaid | initial if initial else None, prefix=prefix)
        self.rule = rule
        for field in rule.fields:
            self.fields[field.name] = form_field(field)

    @property
    def name(self) -> str:
        """The rule's name in its JSON form."""
        return self.rule.name

    @property
    def title(self) -> str:
        """What the rule is about, as a heading."""
        return self.rule.title

    @property
    def fold(self) -> str:
        """What stands over the folded fields."""
        return self.rule.fold

    def often(self) -> list[BoundField]:
        """The fields that are always in sight."""
        return [self[field.name] for field in self.rule.fields if not field.rare]

    def rarely(self) -> list[BoundField]:
        """The fields that stand behind a fold."""
        return [self[field.name] for field in self.rule.fields if field.rare]

    def has_more(self) -> bool:
        """Whether something stands in a folded field, so that it is opened."""
        return any(field.value() or field.errors for field in self.rarely())

    def clean(self) -> None:
        """Ask the rule itself, once each field is good by itself."""
        if self.errors:
            return
        try:
            self.rule.from_json(self.to_json())
        except RuleError as error:
            field = error.field if error.field in self.fields else None
            self.add_error(field, as_validation_error(error))

    def to_json(self) -> dict[str, Any]:
        """The rule's JSON form; what was left empty is left out."""
        filled = {
            name: value for name, value in self.cleaned_data.items() if value not in ("", [], None)
        }
        return {"rule": self.rule.name, **filled}

    def unjudged(self) -> "RuleForm":
        """The same row with what is typed in it, good or not."""
        typed = {
            name: field.widget.value_from_datadict(self.data, self.files, self.add_prefix(name))
            for name, field in self.fields.items()
        }
        return RuleForm(self.rule, prefix=self.prefix, initial=typed)

    @property
    def problems(self) -> list[str]:
        """What is wrong, each with the label of its field."""
        return [
            f"{self.fields[name].label}: {message}" if name in self.fields else str(message)
            for name, messages in self.errors.items()
            for message in messages
        ]


class RuleRows:
    """The rules of the page, in order. Rows may be moved and taken out without being good yet."""

    def __init__(self, rows: Iterable[RuleForm]) -> None:
        self.rows = list(rows)

    @classmethod
    def of(cls, rules: list[dict[str, Any]]) -> Self:
        """Rows of stored rules."""
        return cls(
            RuleForm(REGISTRY[rule["rule"]], prefix=f"r{number}", initial=rule)
            for number, rule in enumerate(rules)
        )

    @classmethod
    def sent(cls, data: QueryDict) -> Self:
        """Rows as they were sent. Raises BadRequest for a rule that the page does not offer."""
        return cls([_sent_row(data, item) for item in data.getlist("rule")])

    def __iter__(self) -> Iterator[RuleForm]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)

    def unjudged(self) -> Self:
        """The rows with what is typed in them, while nobody asked yet whether it is good."""
        return type(self)(row.unjudged() for row in self.rows)

    def with_new(self, name: str) -> Self:
        """With an empty row at the end. Raises BadRequest for an unknown rule."""
        return type(self)([*self.rows, RuleForm(_rule(name), prefix=f"r{self._free_number()}")])

    def without(self, prefix: str) -> Self:
        """Without the row of this prefix."""
        return type(self)([row for row in self.rows if row.prefix != prefix])

    def moved(self, prefix: str, by: int) -> Self:
        """With the row of this prefix one place up (-1) or down (+1), if there is room."""
        rows = list(self.rows)
        here = next((at for at, row in enumerate(rows) if row.prefix == prefix), None)
        if here is not None and 0 <= here + by < len(rows):
            rows[here], rows[here + by] = rows[here + by], rows[here]
        return type(self)(rows)

    def is_valid(self) -> bool:
        """Whether the rules can be read; each row keeps its own errors."""
        return not self.problems()

    def to_json(self) -> list[dict[str, Any]]:
        """The rules as they are stored, once the rows are valid."""
        return self.rules().to_json()

    def rules(self) -> Rules:
        """The rules as the engine knows them, once the rows are valid."""
        return Rules.from_json([row.to_json() for row in self.rows])

    def problems(self) -> list[Problem]:
        """What keeps the rules from being read; empty where nothing does."""
        return self._problems_of_rows() or self._problems_together()

    def _problems_of_rows(self) -> list[Problem]:
        return [
            Problem(str(row.prefix), f"Rule {place}, {problem}")
            for place, row in enumerate(self.rows, start=1)
            for problem in row.problems
        ]

    def _problems_together(self) -> list[Problem]:
        """What the engine has against the rules as a set, where each is good by itself."""
        try:
            idle = self.rules().idle()
        except RuleError as error:
            return [Problem("", error.message)]
        for problem in idle:
            if problem.rule is not None:
                self.rows[problem.rule].add_error(problem.field, as_validation_error(problem))
        return self._problems_of_rows()

    def _free_number(self) -> int:
        return max((int(str(row.prefix)[1:]) for row in self.rows), default=-1) + 1


def _sent_row(data: QueryDict, item: str) -> RuleForm:
    prefix, _, name = item.partition(":")
    if prefix[:1] != "r" or number_in(prefix[1:], _LARGEST_ROW) is None:
        raise BadRequest(f"There is no rule row {prefix!r}.")
    return RuleForm(_rule(name), data, prefix=prefix)


def _rule(name: str) -> type[Rule]:
    if name not in REGISTRY:
        raise BadRequest(f"There is no rule {name!r}.")
    return REGISTRY[name]


class RuleSetForm(NamedForm):
    class Meta:
        model = RuleSet
        fields = ["name", "note"]
        help_texts = {"note": "What it is good for, in a few words."}

    def __init__(self, *args: Any, rows: RuleRows, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = rows

    def clean(self) -> dict[str, Any] | None:
        """A rule set says something: raises ValidationError without a rule."""
        if not self.rows:
            raise forms.ValidationError("Add at least one rule.", code="no-rule")
        return super().clean()

    def save_or_refuse(self) -> bool:
        """Save name and rules; False where either has errors, which the page then shows."""
        rows_are_valid = self.rows.is_valid()
        if not (self.is_valid() and rows_are_valid):
            return False
        self.instance.rules = self.rows.to_json()
        return super().save_or_refuse()
