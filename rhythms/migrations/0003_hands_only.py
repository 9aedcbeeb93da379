"""A file may be read without what the feet play."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("rhythms", "0002_files_to_take_bars_from")]

    operations = [
        migrations.AddField("barimport", "hands_only", models.BooleanField(default=False)),
    ]
