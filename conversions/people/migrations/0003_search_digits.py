"""Who was written down before phone digits were searched for is found by them too."""

from django.db import migrations

from conversions.common.fold import digits, fold


def rebuild(apps, schema_editor):
    person = apps.get_model("people", "Person")
    rows = person._base_manager.only("pk", "name", "phone", "email", "search")
    for row in rows.iterator(chunk_size=500):
        search = fold(f"{row.name} {row.phone} {row.email} {digits(row.phone)}")[:400]
        if search != row.search:
            person._base_manager.filter(pk=row.pk).update(search=search)


class Migration(migrations.Migration):
    dependencies = [
        ("people", "0002_consent_by_link"),
    ]

    operations = [
        migrations.RunPython(rebuild, migrations.RunPython.noop),
    ]
