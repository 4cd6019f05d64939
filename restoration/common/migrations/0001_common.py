import django.utils.timezone
from django.core.management import call_command
from django.db import migrations, models


def make_cache_table(apps, schema_editor):
    call_command("createcachetable", database=schema_editor.connection.alias, verbosity=0)


class Migration(migrations.Migration):
    initial = True
    dependencies = []
    operations = [
        migrations.CreateModel(
            name="StoredPost",
            fields=[
                ("token", models.UUIDField(primary_key=True, serialize=False)),
                ("address", models.CharField(max_length=500)),
                ("stored_at", models.DateTimeField(default=django.utils.timezone.now)),
            ],
        ),
        migrations.RunPython(make_cache_table, migrations.RunPython.noop),
    ]
