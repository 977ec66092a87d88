"""Gives the history its chain of hashes, and what was recorded before chains the hashes it would have had."""

import hashlib

from django.db import migrations, models

AT_ONCE = 1000


def chain_up(apps, schema_editor):
    Change = apps.get_model("sync", "Change")
    farm, chain, waiting = None, "", []
    for change in Change.objects.order_by("farm_id", "seq").only("id", "farm_id", "seq", "op").iterator():
        if change.farm_id != farm:
            farm, chain = change.farm_id, ""
        chain = hashlib.sha256(f"{chain} {change.seq} {change.op}".encode()).hexdigest()
        change.chain = chain
        waiting.append(change)
        if len(waiting) >= AT_ONCE:
            Change.objects.bulk_update(waiting, ["chain"])
            waiting = []
    Change.objects.bulk_update(waiting, ["chain"])


class Migration(migrations.Migration):
    dependencies = [("sync", "0001_initial")]

    operations = [
        migrations.AddField("change", "chain", models.CharField(default="", max_length=64)),
        migrations.RunPython(chain_up, migrations.RunPython.noop),
    ]
