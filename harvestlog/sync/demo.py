"""Fills a demo farm: the invented season in DEMO_FARM goes the way every phone's operations go."""

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from harvestlog.accounts.access import Member
from harvestlog.accounts.models import Farm, Person
from harvestlog.photos.actions import keep_own_picture
from harvestlog.sync.forms import MOST_OPS, Operation, Push
from harvestlog.sync.push import push

# The season was recorded by one phone of its own.
DEVICE = UUID("00000000-0000-4000-8000-0000000d3a00")
DATES = {"received", "packed", "best_before"}
INSTANTS = {"at", "until", "taken", "started", "ended"}


@transaction.atomic
def open_demo(person: Person) -> Farm:
    """A farm of its own for this visitor, whose season ends today."""
    told = json.loads((Path(settings.DEMO_FARM) / "farm.json").read_text())
    farm = Farm.objects.create(name=told["farm"]["name"], currency=told["farm"]["currency"], is_demo=True)
    member = Member(person=person, farm_id=farm.pk, role="owner", device=DEVICE)
    ops = list(_moved_to_today(told))
    for start in range(0, len(ops), MOST_OPS):
        batch = Push(epoch=farm.epoch, device=DEVICE, app_version="demo", ops=ops[start : start + MOST_OPS])
        answer = push(member, batch)
        refused = [result for result in answer.results if result.status != "applied"]
        if refused:
            raise ValueError(f"The demo farm does not pass its own server: {refused[0]}")
    _keep_pictures(farm, told)
    farm.refresh_from_db()
    return farm


def _moved_to_today(told: dict[str, Any]) -> Iterator[Operation]:
    """The season's operations, moved so that its last day is today: whole days, and on that day to the hour."""
    now = timezone.now()
    last_day = date.fromisoformat(told["day_zero"])
    days = now.date() - last_day
    noon = datetime(last_day.year, last_day.month, last_day.day, 12, tzinfo=UTC)

    def moved(instant: str) -> str:
        at = datetime.fromisoformat(instant)
        return (at + (days if at.date() < last_day else now - noon)).isoformat()

    for op in told["ops"]:
        fields = dict(op["fields"])
        for name in DATES & fields.keys():
            if fields[name]:
                fields[name] = (date.fromisoformat(fields[name]) + days).isoformat()
        for name in INSTANTS & fields.keys():
            fields[name] = moved(fields[name]) if fields[name] else None
        yield Operation.model_validate_json(json.dumps(op | {"fields": fields, "at": moved(op["at"])}))


def _keep_pictures(farm: Farm, told: dict[str, Any]) -> None:
    folder = _photo_folder()
    for op in told["ops"]:
        if op["kind"] == "photo":
            for name in ("sha256", "thumb_sha256"):
                sha256 = op["fields"][name]
                keep_own_picture(farm=farm.pk, sha256=sha256, picture=(folder / f"{sha256}.jpg").read_bytes())


def _photo_folder() -> Path:
    """Beside farm.json in the installed package, one folder up in a checkout."""
    inside = Path(settings.DEMO_FARM) / "photos"
    return inside if inside.exists() else Path(settings.DEMO_FARM).parent / "photos"
