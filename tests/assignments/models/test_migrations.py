"""What was there before a migration is there after it."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

pytestmark = pytest.mark.django_db(transaction=True)
BEFORE = [("assignments", "0005_mastery_that_holds"), ("rhythms", "0004_style_of_a_studio")]
AFTER = [("assignments", "0006_how_fills_were_mastered")]


@pytest.fixture
def migrated_back():
    """Take the database back to before, and forward to where all others expect it."""
    executor = MigrationExecutor(connection)
    executor.migrate(BEFORE)
    yield executor.loader.project_state(BEFORE).apps
    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())


def old_fill(apps, mastered_at):
    """A fill as it was, with all that it hangs on."""
    model = apps.get_model
    studio = model("studio", "Studio").objects.create(name="Room", timezone="Europe/Berlin")
    teacher = model("studio", "Teacher").objects.create(email="ines@example.org")
    kit = model("studio", "Kit").objects.create(studio=studio, name="Kit", surfaces=["snare"])
    student = model("studio", "Student").objects.create(studio=studio, nickname="Mira", kit=kit)
    bar = model("rhythms", "SourceBar").objects.create(
        studio=studio, name="Bar", meter="4/4", counts="1 2 3 4"
    )
    rules = model("rhythms", "RuleSet").objects.create(studio=studio, name="Rules", rules=[])
    rendering = model("rhythms", "Rendering").objects.create(pk="0" * 64, source={})
    assignment = model("assignments", "Assignment").objects.create(
        studio=studio,
        student=student,
        source_bar=bar,
        rule_set=rules,
        bar_name="Bar",
        rule_set_name="Rules",
        kit={},
        tempo=80,
        fills_given=2,
        created_by=teacher,
    )
    return model("assignments", "AssignedVariation").objects.create(
        assignment=assignment,
        position=1,
        rank=0,
        space_size=1,
        fill={},
        rendering=rendering,
        mastered_at=mastered_at,
    )


def test_what_was_mastered_before_has_its_step_on_the_day_in_the_studio(migrated_back):
    """At 23:30 in UTC it is the next day in Berlin."""
    moment = datetime(2026, 11, 3, 23, 30, tzinfo=UTC)
    old_fill(migrated_back, moment)
    executor = MigrationExecutor(connection)
    executor.migrate(AFTER)
    apps = executor.loader.project_state(AFTER).apps
    (step,) = apps.get_model("assignments", "MasteryEvent").objects.all()
    assert (step.kind, step.at, step.day) == ("mastered", moment, date(2026, 11, 4))
    assert step.teacher is None
