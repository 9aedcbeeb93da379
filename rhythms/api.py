"""The engine over HTTP: the fill space of a bar, rules and a kit.

Errors are coded and stand by their field, for 400 Bad Request:

    {"counts": [{"code": "count-line", "message": "At column 9, …", "column": 8}]}
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, NoReturn, TypeVar

from rest_framework import serializers, status
from rest_framework.exceptions import Throttled
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from rhythms.engine import Bar, EngineError, FillSpace, Kit, Meter, RuleSet
from rhythms.engine.space.conflict import conflict_in_words
from rhythms.error_adapters import as_coded
from rhythms.fill_spaces import space_for
from studio.accounts.throttling import CountsByPerson

MOST_FILLS = 50
T = TypeVar("T")


class FillSpaceQuestion(serializers.Serializer):
    """``kit`` is the standard one where it is left out, ``sample`` how many fills to draw."""

    counts = serializers.CharField(trim_whitespace=False)
    meter = serializers.CharField(default="4/4")
    rules = serializers.JSONField()
    kit = serializers.DictField(required=False)
    sample = serializers.IntegerField(default=0, min_value=0, max_value=MOST_FILLS)
    seed = serializers.IntegerField(default=1)


class AskedTooOften(Throttled):
    default_detail = "You have asked too often."
    extra_detail_singular = "Wait {wait} second."
    extra_detail_plural = "Wait {wait} seconds."


class ApiFillSpace(APIView):
    throttle_classes = [CountsByPerson]

    def throttled(self, request: Request, wait: float | None) -> NoReturn:
        """Refuse who asks too often: 429, with `Retry-After` and a sentence in `detail`."""
        raise AskedTooOften(wait)

    def post(self, request: Request) -> Response:
        """Answer ``{"size": "16777216", "sentences": [...], "fills": [{"rank": …, …}]}``.

        Sizes and ranks are text, since they outgrow the numbers of most languages. Where
        there are fewer fills than asked for, all are given; where there are none, ``clash``
        says why.
        """
        question = FillSpaceQuestion(data=request.data)
        if not question.is_valid():
            return _refused(coded(question.errors))
        asked = question.validated_data
        parts = _Parts()
        space = parts.space(asked)
        if space is None:
            return _refused(parts.errors)
        return Response(_answer(space, asked["sample"], asked["seed"]))


class _Parts:
    """Engine objects out of what was sent; what cannot be read is noted by its field."""

    def __init__(self) -> None:
        self.errors: dict[str, list[dict[str, Any]]] = {}

    def space(self, asked: Mapping[str, Any]) -> FillSpace | None:
        """The space, or None where a part of it cannot be read."""
        meter = self._read("meter", Meter.parse, asked["meter"])
        bar = self._read("counts", Bar.from_counts, asked["counts"], meter) if meter else None
        rules = self._read("rules", RuleSet.from_json, asked["rules"])
        kit = self._read("kit", Kit.from_json, asked["kit"]) if "kit" in asked else Kit.standard()
        if bar is None or rules is None or kit is None:
            return None
        return self._read("rules", _counted, space_for(bar, rules, kit))

    def _read(self, field: str, read: Callable[..., T], *sent: Any) -> T | None:
        try:
            return read(*sent)
        except EngineError as error:
            self.errors[field] = [as_coded(error)]
            return None


def _counted(space: FillSpace) -> FillSpace:
    """The space once it is counted. Raises EngineError where it is too large for that."""
    _ = space.size
    return space


def coded(errors: Mapping[str, Iterable[Any]]) -> dict[str, list[dict[str, Any]]]:
    """A serializer's errors in the form that this API gives all its errors."""
    return {
        field: [{"code": detail.code, "message": str(detail)} for detail in details]
        for field, details in errors.items()
    }


def _refused(errors: dict[str, list[dict[str, Any]]]) -> Response:
    return Response(errors, status=status.HTTP_400_BAD_REQUEST)


def _answer(space: FillSpace, sample: int, seed: int) -> dict[str, Any]:
    fills = space.sample(min(sample, space.size), seed)
    return {
        "size": str(space.size),
        "sentences": space.rule_set.sentences(),
        "fills": [{"rank": str(space.rank(fill)), **fill.to_json()} for fill in fills],
        **({} if space.size else {"clash": conflict_in_words(space)}),
    }
