from django.db import migrations

from restoration.machine.stamp import install_stamp, remove_stamp


class Migration(migrations.Migration):
    dependencies = [("machine", "0002_wiring")]
    operations = [
        migrations.RunPython(
            lambda apps, editor: install_stamp(editor.connection),
            lambda apps, editor: remove_stamp(editor.connection),
        )
    ]
