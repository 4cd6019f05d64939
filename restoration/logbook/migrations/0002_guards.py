from django.db import migrations

from restoration.logbook.guards import install_guards, remove_guards


class Migration(migrations.Migration):
    dependencies = [("logbook", "0001_logbook")]
    operations = [
        migrations.RunPython(
            lambda apps, editor: install_guards(editor.connection),
            lambda apps, editor: remove_guards(editor.connection),
        )
    ]
