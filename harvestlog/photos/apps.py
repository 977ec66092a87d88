"""The photos app: when a farm goes, so do its files."""

from typing import Any

from django.apps import AppConfig
from django.db import transaction
from django.db.models.signals import post_delete


class Photos(AppConfig):
    name = "harvestlog.photos"

    def ready(self) -> None:
        # A signal, because accounts, which deletes demo farms, stands below photos and may not know of it.
        post_delete.connect(
            _forget_when_it_is_done, sender="accounts.Farm", dispatch_uid="harvestlog.photos.forget"
        )


def _forget_when_it_is_done(instance: Any, **_: object) -> None:
    from harvestlog.photos.actions import forget_farm  # models are not there yet when this file is read

    farm = instance.pk
    # After the commit, or a roll-back would leave the farm without its pictures; and whoever deleted it has nothing
    # to do with a disk that fails.
    transaction.on_commit(lambda: forget_farm(farm), robust=True)
