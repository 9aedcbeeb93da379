from django.db import migrations, models

CHOICES = [
    ("close to home", "Close to home"),
    ("a step out", "A step out"),
    ("anything the rules allow", "Anything the rules allow"),
]
STICKINGS = [
    ("as taught", "As taught: hand to hand by the count"),
    ("least effort", "Least effort: the easiest way round"),
    ("none printed", "None printed"),
]


def dial(default: str) -> models.CharField:
    return models.CharField("how far out", max_length=30, choices=CHOICES, default=default)


def sticking(default: str) -> models.CharField:
    return models.CharField(max_length=20, choices=STICKINGS, default=default)


class Migration(migrations.Migration):
    dependencies = [("assignments", "0009_the_tempo_a_take_is_said_to_have")]

    operations = [
        # What was given so far was drawn from everything that the rules allow.
        migrations.AddField("assignment", "dial", dial("anything the rules allow")),
        migrations.AlterField("assignment", "dial", dial("a step out")),
        # And their open hands were those of least effort.
        migrations.AddField("assignment", "sticking", sticking("least effort")),
        migrations.AlterField("assignment", "sticking", sticking("as taught")),
    ]
