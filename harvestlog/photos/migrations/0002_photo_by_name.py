from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("photos", "0001_initial")]

    operations = [
        migrations.AddIndex("photo", models.Index(fields=["farm", "sha256"], name="photo_by_sha256")),
        migrations.AddIndex(
            "photo", models.Index(fields=["farm", "thumb_sha256"], name="photo_by_thumb_sha256")
        ),
    ]
