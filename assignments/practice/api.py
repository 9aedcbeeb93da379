"""Fills, practice and progress over HTTP, for the pages' own scripts and for other programs.

Errors are coded and stand by their field:

    {"minutes": [{"code": "max_value", "message": "…"}]}

Numbers of fills are text, since they outgrow the numbers of most languages.
"""

from collections.abc import Callable
from datetime import date
from typing import cast
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from rest_framework import generics, serializers, status
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from assignments.days import today_in
from assignments.fill_queries import fills_of
from assignments.form_fields import WANTED_TEMPO, wrong_number
from assignments.models import AssignedVariation, PracticeEntry
from assignments.models.assignment import FASTEST, SLOWEST
from assignments.models.entry import LONGEST, MOST_LOOPS, SHORTEST
from assignments.practice import practice_log
from assignments.practice.counted_practice import MOST_ANSWERS, Counted, keep_counted
from assignments.practice.forms import WANTED_MINUTES
from assignments.student_access import own_entry, own_variation
from rhythms.api import coded
from studio.api import IsStudent
from studio.api_pages import LinkedPages
from studio.models import Student

MOST_SECONDS = int(LONGEST) * 60
ANOTHER_STUDENT = "Another student is signed in on this device. Open your personal link again."


class VariationOut(serializers.ModelSerializer):
    """A student's fill, with its assignment and its state."""

    name = serializers.CharField(source="called")
    bar = serializers.CharField(source="assignment.bar_name")
    rule_set = serializers.CharField(source="assignment.rule_set_name")
    sentences = serializers.JSONField(source="assignment.sentences")
    fills_given = serializers.IntegerField(source="assignment.fills_given")
    tempo = serializers.IntegerField(source="assignment.tempo")
    swing = serializers.IntegerField(source="assignment.swing")
    swing_unit = serializers.CharField(source="assignment.swing_unit")
    block_bars = serializers.IntegerField(source="assignment.block_bars")
    due_on = serializers.DateField(source="assignment.due_on")
    rank = serializers.CharField()
    space_size = serializers.CharField()
    state = serializers.CharField()

    class Meta:
        model = AssignedVariation
        fields = [
            "id",
            "name",
            "bar",
            "rule_set",
            "sentences",
            "position",
            "fills_given",
            "rank",
            "space_size",
            "fill",
            "tempo",
            "swing",
            "swing_unit",
            "block_bars",
            "due_on",
            "state",
            "mastered_at",
        ]


class EntryOut(serializers.ModelSerializer):
    minutes = serializers.DecimalField(max_digits=4, decimal_places=1, coerce_to_string=False)

    class Meta:
        model = PracticeEntry
        fields = [
            "id",
            "variation",
            "day",
            "minutes",
            "tempo",
            "loops",
            "clean_loops",
            "felt",
            "recheck",
            "note",
        ]


class OwnVariation(serializers.PrimaryKeyRelatedField):
    """A fill of the student in the context, by its pk.

    Also a removed one: a phone that was offline sends what was played before it heard of that.
    """

    def get_queryset(self) -> QuerySet[AssignedVariation]:
        return AssignedVariation.objects.filter(assignment__student=self.context["student"])


class EntryIn(serializers.Serializer):
    """An entry as it is sent; its `id` is made by who sends it and stays when it is sent again.

    With `seconds`, which the device counted while it was played, the same id may say more each
    time, `answered` counts the answers to how it came out, and `undone` takes it back.

    The context holds the `student`. A device that several students use sends along whose entry
    it is: what one of them played must not end up with who signed in meanwhile.
    """

    id = serializers.UUIDField()
    student = serializers.IntegerField(required=False, write_only=True)
    variation = OwnVariation(required=False, allow_null=True, default=None)
    day = serializers.DateField()
    minutes = serializers.DecimalField(
        max_digits=20,  # more cannot be rounded
        decimal_places=1,
        min_value=SHORTEST,
        max_value=LONGEST,
        error_messages=wrong_number(WANTED_MINUTES),
    )
    tempo = serializers.IntegerField(
        min_value=SLOWEST,
        max_value=FASTEST,
        required=False,
        allow_null=True,
        default=None,
        error_messages=wrong_number(WANTED_TEMPO),
    )
    loops = serializers.IntegerField(
        min_value=1, max_value=MOST_LOOPS, required=False, allow_null=True, default=None
    )
    clean_loops = serializers.IntegerField(
        min_value=0, max_value=MOST_LOOPS, required=False, allow_null=True, default=None
    )
    felt = serializers.ChoiceField(
        PracticeEntry.Felt.choices, allow_blank=True, required=False, default=""
    )
    recheck = serializers.BooleanField(required=False, default=False)
    easier = serializers.BooleanField(required=False, default=False)
    note = serializers.CharField(max_length=200, allow_blank=True, required=False, default="")
    seconds = serializers.IntegerField(
        min_value=1, max_value=MOST_SECONDS, required=False, allow_null=True, default=None
    )
    answered = serializers.IntegerField(
        min_value=0, max_value=MOST_ANSWERS, required=False, default=0
    )
    undone = serializers.BooleanField(required=False, default=False)

    def validate_student(self, pk: int) -> int:
        if pk != self.context["student"].pk:
            raise serializers.ValidationError(ANOTHER_STUDENT, code="another-student")
        return pk

    def validate_day(self, day: date) -> date:
        practice_log.check_day(day, today_in(self.context["student"].studio))
        return day

    def validate(self, sent: dict) -> dict:
        try:
            practice_log.check_clean_loops(sent["loops"], sent["clean_loops"])
        except ValidationError as error:
            code = getattr(error, "code", None)
            raise serializers.ValidationError({"clean_loops": error.messages}, code) from error
        return sent

    def practised(self) -> practice_log.Practised:
        """Return what is to be logged; the data is valid."""
        apart = {"student", "seconds", "answered", "undone"}
        sent = {name: value for name, value in self.validated_data.items() if name not in apart}
        return practice_log.Practised(**sent)

    def keep(self) -> tuple[PracticeEntry, bool]:
        """Log what was sent, or let the entry grow that a device counts; the data is valid."""
        sent = self.validated_data
        if sent["seconds"] is None:
            return practice_log.log(self.context["student"], self.practised())
        parts = {name: sent[name] for name in ("seconds", "answered", "undone")}
        return keep_counted(self.context["student"], Counted(self.practised(), **parts))


class ApiVariations(generics.ListAPIView):
    """GET: the student's fills, in playing order, a page at a time."""

    permission_classes = [IsStudent]
    pagination_class = LinkedPages
    serializer_class = VariationOut

    def get_queryset(self) -> QuerySet[AssignedVariation]:
        return fills_of(_student(self.request))


class ApiPracticeEntries(APIView):
    permission_classes = [IsStudent]

    def get(self, request: Request) -> Response:
        """The student's log, newest first, a page at a time."""
        entries = PracticeEntry.objects.kept().filter(student=_student(request))
        pages = LinkedPages()
        shown = pages.paginate_queryset(entries, request, view=self)
        return pages.get_paginated_response(EntryOut(shown, many=True).data)

    def post(self, request: Request) -> Response:
        """Log an entry: 201; 200 for one that is logged already; 409 where its id is taken.

        Where it is the student's own entry that has the id, the 409 shows it as it is logged.
        """
        student = _student(request)
        sent = EntryIn(data=request.data, context={"student": student})
        if not sent.is_valid():
            return Response(coded(sent.errors), status.HTTP_400_BAD_REQUEST)
        try:
            entry, is_new = sent.keep()
        except practice_log.LoggedDifferentlyError as error:
            return _conflict(error, **_as_logged(student, sent))
        return Response(EntryOut(entry).data, status=201 if is_new else 200)


class ApiPracticeEntry(APIView):
    permission_classes = [IsStudent]

    def get(self, request: Request, pk: UUID) -> Response:
        """One entry of the student's log."""
        return Response(EntryOut(own_entry(_student(request), pk)).data)

    def patch(self, request: Request, pk: UUID) -> Response:
        """Let the entry say this instead: 200; 409 after the day on which it was logged.

        What is not sent stays as it is, and the same twice changes nothing. Its id is that of
        the address.
        """
        student = _student(request)
        entry = own_entry(student, pk)
        content = request.data if isinstance(request.data, dict) else {}
        sent = EntryIn(
            data={**entry.snapshot, **content, "id": str(pk)}, context={"student": student}
        )
        if not sent.is_valid():
            return Response(coded(sent.errors), status.HTTP_400_BAD_REQUEST)
        try:
            practice_log.change(entry, sent.practised())
        except practice_log.TooLateToChangeError as error:
            return _conflict(error)
        return Response(EntryOut(entry).data)


class ApiMastered(APIView):
    permission_classes = [IsStudent]

    def post(self, request: Request, pk: int) -> Response:
        """Call the fill mastered; a second time, or the same `id` again, changes nothing."""
        return _pressed(request, pk, practice_log.mark_mastered)


class ApiTakeBack(APIView):
    permission_classes = [IsStudent]

    def post(self, request: Request, pk: int) -> Response:
        """Call the fill not mastered; a second time, or the same `id` again, changes nothing."""
        return _pressed(request, pk, practice_log.take_back)


class PressIn(serializers.Serializer):
    """A press on a device; its `id` is made there."""

    id = serializers.UUIDField(required=False, allow_null=True, default=None)


def _pressed(request: Request, pk: int, act: Callable[..., None]) -> Response:
    variation = own_variation(_student(request), pk)
    # Programs that send nothing need not say in which format.
    is_json = request.content_type.partition(";")[0].strip() == "application/json"
    sent = PressIn(data=request.data if is_json else {})
    if not sent.is_valid():
        return Response(coded(sent.errors), status.HTTP_400_BAD_REQUEST)
    act(variation, press=sent.validated_data["id"])
    return Response(VariationOut(variation).data)


def _as_logged(student: Student, sent: EntryIn) -> dict[str, object]:
    own = PracticeEntry.objects.filter(student=student, pk=sent.validated_data["id"]).first()
    return {"entry": EntryOut(own).data} if own else {}


def _conflict(
    error: practice_log.LoggedDifferentlyError | practice_log.TooLateToChangeError, **more: object
) -> Response:
    conflict = {"id": [{"code": error.code, "message": str(error)}]}
    return Response(conflict | more, status.HTTP_409_CONFLICT)


def _student(request: Request) -> Student:
    return cast(Student, request.user)
