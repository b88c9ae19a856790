from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("groups", "0002_postal"),
    ]

    operations = [
        migrations.AddField(
            model_name="group",
            name="own",
            field=models.JSONField(blank=True, default=dict, verbose_name="numbers of the book set anew"),
        ),
    ]
