"""What growers do between faults, drawn from a seed: they add, weigh, correct, rename, delete and bring back."""

from datetime import UTC, datetime, timedelta
from io import BytesIO
from random import Random
from uuid import UUID

from PIL import Image

from tests.faults.recorded import Recorded

SHEDS = ("North shed", "Cellar", "Tent", "Polytunnel")
AT = "2026-05-03T07:40:00Z"


def weighs(hand: Recorded, block: str, grams: int) -> str:
    return hand.adds("pick", block=block, flush=1, at=AT, wet_g=float(grams), typed=f"{grams} g")


def does_something(hand: Recorded, chance: Random, at: datetime | None = None) -> None:
    """One act; at records of anybody that this phone sees."""
    view = hand.view()
    picks = [id for id, row in view.items() if "wet_g" in row["fields"] and "flush" in row["fields"]]
    places = [id for id, row in view.items() if "name" in row["fields"]]
    act = chance.randrange(10)
    if act < 3 or not picks or not places:
        _adds(hand, chance, at)
    elif act < 6:
        grams = chance.randrange(20, 900)
        corrected = {"wet_g": float(grams), "typed": f"{grams} g"}
        hand.saves("patch", "pick", chance.choice(picks), corrected, at)
    elif act < 8:
        words = chance.choice([{"name": chance.choice(SHEDS)}, {"note": chance.choice(["damp", "dry"])}])
        hand.saves("patch", "place", chance.choice(places), words, at)
    else:
        row = chance.choice(places)
        hand.saves("restore" if view[row]["deleted"] else "delete", "place", row, {}, at)


def _adds(hand: Recorded, chance: Random, at: datetime | None) -> None:
    grams = chance.randrange(20, 900)
    block = str(UUID(int=chance.getrandbits(128), version=4))
    pick = {"block": block, "flush": 1, "at": AT, "wet_g": float(grams), "typed": f"{grams} g"}
    hand.saves("add", "pick", hand.new_id(), pick, at)
    hand.saves("add", "place", hand.new_id(), {"name": chance.choice(SHEDS), "note": ""}, at)


def days_ago(days: float) -> datetime:
    return datetime.now(UTC) - timedelta(days=days)


def noise(chance: Random, side: int = 64, format: str = "JPEG") -> bytes:
    """A picture that nobody has sent before; a large one takes long to decode."""
    small = Image.frombytes("RGB", (64, 64), chance.randbytes(64 * 64 * 3))
    out = BytesIO()
    small.resize((side, side)).save(out, format)
    return out.getvalue()
