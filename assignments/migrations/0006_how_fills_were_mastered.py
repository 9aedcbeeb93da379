from zoneinfo import ZoneInfo

from django.db import migrations


def tell_how_they_were_mastered(apps, schema_editor):
    """What was called mastered before there were events has one from now on."""
    event = apps.get_model("assignments", "MasteryEvent")
    mastered = apps.get_model("assignments", "AssignedVariation").objects.filter(
        mastered_at__isnull=False
    )
    for fill in mastered.select_related("assignment__studio").iterator():
        zone = ZoneInfo(fill.assignment.studio.timezone)
        event.objects.create(
            variation=fill,
            kind="mastered",
            at=fill.mastered_at,
            day=fill.mastered_at.astimezone(zone).date(),
        )


class Migration(migrations.Migration):
    dependencies = [("assignments", "0005_mastery_that_holds")]

    operations = [
        migrations.RunPython(tell_how_they_were_mastered, migrations.RunPython.noop),
    ]
