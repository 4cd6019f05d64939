from django.conf import settings
from django.db import migrations


class Migration(migrations.Migration):
    initial = True
    dependencies = [("machine", "0001_machine"), migrations.swappable_dependency(settings.AUTH_USER_MODEL)]
    operations = []
