from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("assignments", "0020_grooves_of_takes"),
    ]

    operations = [
        migrations.AddField(
            model_name="take",
            name="counted_as_said",
            field=models.BooleanField(db_default=False, default=False),
        ),
    ]
