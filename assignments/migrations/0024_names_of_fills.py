from collections import defaultdict

from django.db import migrations, models

from rhythms.engine import EngineError, Fill
from rhythms.notation.fill_name import fill_name

#: So many students are named at a time, and so many rows written.
STUDENTS, ROWS = 50, 500


def name_fills(apps, schema_editor):
    """Name what older versions drew, in the order in which it was given."""
    Student = apps.get_model("studio", "Student")
    variations = apps.get_model("assignments", "AssignedVariation")
    students = list(Student.objects.order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(students), STUDENTS):
        name_those_of(students[start : start + STUDENTS], variations)


def name_those_of(students, variations):
    theirs = variations.objects.filter(assignment__student__in=students)
    fields = ("pk", "position", "name", "fill", "assignment__student", "assignment__source_bar")
    rows = theirs.order_by("assignment__created_at", "assignment", "position").values_list(*fields)
    named, unnamed = defaultdict(dict), []
    for pk, position, name, stored, student, bar in rows.iterator(ROWS):
        had = named[student, bar]
        try:
            fill = Fill.from_json(stored)
        except EngineError:
            fill = None
        new = name or (fill_name(fill, had) if fill else f"Fill {position}")
        if fill:
            had[new] = fill
        if not name:
            unnamed.append(variations(pk=pk, name=new))
    variations.objects.bulk_update(unnamed, ["name"], batch_size=ROWS)


class Migration(migrations.Migration):
    dependencies = [
        ("assignments", "0026_entries_that_grow"),
    ]

    operations = [
        migrations.AddField(
            model_name="assignedvariation",
            name="name",
            field=models.CharField(blank=True, db_default="", default="", max_length=40),
        ),
        migrations.RunPython(name_fills, migrations.RunPython.noop),
    ]
