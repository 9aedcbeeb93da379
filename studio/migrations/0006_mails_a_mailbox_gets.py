from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("studio", "0005_when_it_was_last_swept"),
    ]

    operations = [
        migrations.AddField(
            model_name="accountmail",
            name="mailbox",
            field=models.CharField(db_default="", db_index=True, editable=False, max_length=64),
        ),
        migrations.AddField(
            model_name="accountmail",
            name="sent_at",
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="accountmail",
            name="tried_at",
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AlterField(
            model_name="accountmail",
            name="email",
            field=models.EmailField(blank=True, max_length=254, verbose_name="e-mail"),
        ),
        migrations.AlterField(
            model_name="accountmail",
            name="site",
            field=models.TextField(blank=True, help_text="Where it was asked: scheme and host."),
        ),
    ]
