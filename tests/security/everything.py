"""A farm that has one record of every kind, with a given text wherever a text may stand."""

import hashlib
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

from pydantic import ValidationError

from harvestlog.sync.kinds import KINDS, Kind
from tests.cast import Actor
from tests.sync.farms import phone_of

Json = dict[str, Any]
AT, DAY = "2026-05-20T08:00:00Z", "2026-04-20"


def bare(sha256: str = "a" * 64, thumb_sha256: str = "b" * 64) -> Iterator[tuple[str, str, Json]]:
    """(kind, id, fields) of one record of every kind, each belonging to the one before it where it can."""
    ids = {kind: str(uuid4()) for kind in KINDS}
    dry = {"dry_basis": "assumed", "moisture_low_pct": 60, "moisture_high_pct": 65}
    rows: dict[str, Json] = {
        "supplier": {"name": "s"},
        "variety": {"name": "v", "species": "pleurotus-ostreatus"},
        "place": {"name": "p"},
        "delivery": {
            "supplier": ids["supplier"],
            "received": DAY,
            "count": 1,
            "price": "9.50",
            "currency": "EUR",
        },
        "block": {"label": "22222", "variety": ids["variety"], "delivery": ids["delivery"], "wet_g": 3000}
        | dry
        | {"place": ids["place"]},
        "happening": {"block": ids["block"], "what": "note", "at": AT},
        "pick": {"block": ids["block"], "flush": 1, "at": AT, "wet_g": 600},
        "photo": {"block": ids["block"], "stage": "ready", "taken": AT, "width": 64, "height": 48}
        | {"sha256": sha256, "thumb_sha256": thumb_sha256, "pick": ids["pick"]},
        "reading": {"place": ids["place"], "at": AT, "temp_c": 14},
        "drying": {"method": "freeze", "started": AT, "dry_g": 60},
        "drying_part": {"drying": ids["drying"], "pick": ids["pick"], "wet_g": 600},
        "drying_weighing": {"drying": ids["drying"], "at": AT, "mass_g": 80},
        "jar": {"label": "j", "variety": ids["variety"], "drying": ids["drying"], "dry_g": 50, "packed": DAY},
        "taking": {"jar": ids["jar"], "at": AT, "mass_g": 5},
        "trial": {"jar": ids["jar"], "at": AT, "dry_g": 10},
        "trial_weighing": {"trial": ids["trial"], "minutes": 30, "drained_g": 60},
        "extract": {
            "name": "e",
            "jar": ids["jar"],
            "mass_g": 50,
            "spirit_ml": 500,
            "spirit_pct": 60,
            "started": AT,
        },
        "extract_step": {"extract": ids["extract"], "what": "shaken", "at": AT},
    }
    assert set(rows) == set(KINDS), "a new kind of record: give it a row here"
    for kind, fields in rows.items():
        yield kind, ids[kind], fields


def filled(kind: Kind, fields: Json, text: str) -> Json:
    """The fields with the text in each that takes a text; shorter where it is too long, left alone where it is refused."""
    full = dict(fields)
    for name, field in kind.form.model_fields.items():
        if field.annotation is not str:
            continue
        for cut in (text, text[:80], text[:40], text[:20]):
            try:
                kind.form.model_validate(full | {name: cut})
            except ValidationError:
                continue
            full[name] = cut
            break
    return full


def fill(actor: Actor, text: str, **pictures: str) -> dict[str, str]:
    """Writes it all down the phone's way: {kind: id}."""
    phone = phone_of(actor.member)
    ids = {}
    for kind, row, fields in bare(**pictures):
        phone.change("add", kind, row, filled(KINDS[kind], fields, text))
        ids[kind] = row
    while phone.push():
        pass
    assert phone.parked == []
    return ids


def hash_of(picture: bytes) -> str:
    return hashlib.sha256(picture).hexdigest()
