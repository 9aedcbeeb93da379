"""Takes over HTTP: how the page that records sends what it caught."""

from collections.abc import Iterator
from typing import Any, cast

from django.urls import reverse
from rest_framework import serializers, status
from rest_framework.exceptions import ErrorDetail
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assignments.form_fields import wrong_number
from assignments.models import Take
from assignments.models.assignment import FASTEST, SLOWEST
from assignments.practice.api import OwnVariation
from assignments.takes import take_store
from assignments.takes.take_analysis import MOST_EVENTS
from assignments.takes.take_limits import TooManyTakesError
from rhythms.api import coded
from rhythms.engine import Meter
from rhythms.engine.bars.feel import EIGHTHS, LEAST, MOST, PAIRS
from rhythms.engine.bars.meter import LONGEST_METER
from rhythms.engine.errors import MeterError
from studio.api import IsStudent
from studio.api_pages import LinkedPages
from studio.models import Student

MOST_MS = take_store.MOST_SECONDS * 1000
#: A device later than this is broken, or was measured wrongly.
MOST_LATENCY = 500


class EventField(serializers.ListField):
    """``[milliseconds, key, velocity]``."""

    child = serializers.FloatField()

    def to_internal_value(self, data: Any) -> list[float]:
        event = super().to_internal_value(data)
        if len(event) != 3:
            raise serializers.ValidationError(
                "An event is [milliseconds, key, velocity].", code="event"
            )
        ms, key, velocity = event
        if not (0 <= ms <= MOST_MS and 0 <= key <= 127 and 0 <= velocity <= 127):
            raise serializers.ValidationError(
                f"An event lies between 0 and {MOST_MS:,} ms; key and velocity are 0 to 127.",
                code="event",
            )
        return [round(ms, 2), int(key), int(velocity)]


class Click(serializers.Serializer):
    """The click that was heard: its tempo, and when a bar began."""

    tempo = serializers.FloatField(min_value=SLOWEST, max_value=FASTEST)
    start = serializers.FloatField(min_value=-60_000, max_value=MOST_MS)


class TakeIn(serializers.Serializer):
    """A take as it is sent; its `id` is made by who sends it. The context has the `student`."""

    id = serializers.UUIDField()
    variation = OwnVariation(required=False, allow_null=True, default=None)
    source = serializers.ChoiceField(  # type: ignore[assignment]
        [Take.Source.LIVE, Take.Source.PADS]
    )
    meter = serializers.CharField(max_length=LONGEST_METER, default="4/4")
    tempo = serializers.IntegerField(
        min_value=SLOWEST, max_value=FASTEST, required=False, allow_null=True, default=None
    )
    click = Click(required=False, allow_null=True, default=None)
    swing = serializers.IntegerField(
        min_value=LEAST,
        max_value=MOST,
        required=False,
        allow_null=True,
        default=None,
        error_messages=wrong_number(f"Give a swing from {LEAST} to {MOST} percent, such as 67."),
    )
    swing_unit = serializers.ChoiceField(list(PAIRS), required=False, default=EIGHTHS)
    latency = serializers.FloatField(
        min_value=-MOST_LATENCY,
        max_value=MOST_LATENCY,
        required=False,
        allow_null=True,
        default=None,
    )
    seconds = serializers.FloatField(min_value=0, max_value=take_store.MOST_SECONDS, default=0)
    events = serializers.ListField(
        child=EventField(),
        max_length=MOST_EVENTS,
        min_length=1,
        error_messages={
            "min_length": "There is no stroke in this take.",
            "max_length": f"A take has up to {MOST_EVENTS:,} strokes.",
        },
    )

    def validate_meter(self, meter: str) -> str:
        try:
            return str(Meter.parse(meter))
        except MeterError as error:
            raise serializers.ValidationError(error.message, code=error.code) from error

    def validate_click(self, click: dict[str, float] | None) -> dict[str, float] | None:
        return dict(click) if click else None

    def caught(self) -> take_store.TakeInput:
        """Return what is to be kept; the data is valid."""
        return take_store.TakeInput(**self.validated_data)


class TakeOut(serializers.ModelSerializer):
    url = serializers.SerializerMethodField()

    class Meta:
        model = Take
        fields = [
            "id",
            "variation",
            "source",
            "meter",
            "tempo",
            "said_tempo",
            "counted_as_said",
            "swing",
            "swing_unit",
            "seconds",
            "events",
            "click",
            "latency",
            "state",
            "analysis",
            "fills",
            "day",
            "url",
        ]

    def get_url(self, take: Take) -> str:
        return reverse("assignments:take", args=[take.pk])


class TakePages(LinkedPages):
    """Fewer at a time than of other things: each has up to thousands of strokes."""

    page_size = 20


class ApiTakes(APIView):
    permission_classes = [IsStudent]

    def get(self, request: Request) -> Response:
        """The student's takes, the latest first, all that was caught included, a page at a time."""
        pages = TakePages()
        takes = Take.objects.of(cast(Student, request.user))
        shown = pages.paginate_queryset(takes, request, view=self)
        return pages.get_paginated_response(TakeOut(shown, many=True).data)

    def post(self, request: Request) -> Response:
        """Keep a take: 201; 200 for one that is kept already; 409 where its id is taken;
        429 where there have been too many.
        """
        student = cast(Student, request.user)
        sent = TakeIn(data=request.data, context={"student": student})
        if not sent.is_valid():
            return Response(coded(_flat(sent.errors)), status.HTTP_400_BAD_REQUEST)
        try:
            take, is_new = take_store.create_take(student, sent.caught())
        except take_store.TakenDifferentlyError as error:
            conflict = {"id": [{"code": error.code, "message": str(error)}]}
            return Response(conflict, status.HTTP_409_CONFLICT)
        except TooManyTakesError as error:
            later = {"id": [{"code": error.code, "message": str(error)}]}
            return Response(later, status.HTTP_429_TOO_MANY_REQUESTS)
        return Response(TakeOut(take).data, status=201 if is_new else 200)


def _flat(errors: dict[str, Any]) -> dict[str, list[ErrorDetail]]:
    """Errors of parts of a field stand by the field itself, each sort once."""
    return {field: list(dict.fromkeys(_details(found))) for field, found in errors.items()}


def _details(found: Any) -> Iterator[ErrorDetail]:
    if isinstance(found, ErrorDetail):
        yield found
        return
    for inside in found.values() if isinstance(found, dict) else found:
        yield from _details(inside)
