from decimal import Decimal

import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("groups", "0003_picture_days")]

    operations = [
        migrations.AddField(
            model_name="group",
            name="fire_strip_m",
            field=models.DecimalField(
                blank=True,
                decimal_places=2,
                max_digits=4,
                null=True,
                validators=[
                    django.core.validators.MinValueValidator(Decimal("0.1")),
                    django.core.validators.MaxValueValidator(Decimal("30")),
                ],
                verbose_name="strip kept free where a fire rule holds",
            ),
        )
    ]
