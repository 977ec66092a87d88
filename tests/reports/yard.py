"""A farm written down the phone's way, piece by piece, for the tests of reports over many records."""

from typing import Any
from uuid import uuid4

from tests.cast import Actor
from tests.sync.farms import phone_of


class Yard:
    """Each verb writes one record and gives its id; `sent` sends them all and sees that none was refused."""

    def __init__(self, actor: Actor) -> None:
        self._phone = phone_of(actor.member)

    def add(self, kind: str, **fields: Any) -> str:
        row = str(uuid4())
        self._phone.change("add", kind, row, fields)
        return row

    def delete(self, kind: str, row: str) -> None:
        self._phone.change("delete", kind, row)

    def supplier(self, name: str, **fields: Any) -> str:
        return self.add("supplier", name=name, **fields)

    def variety(self, name: str = "Grey oyster", **fields: Any) -> str:
        return self.add("variety", name=name, **fields)

    def delivery(self, supplier: str, **fields: Any) -> str:
        return self.add("delivery", **{"supplier": supplier, "received": "2026-04-20", "count": 1} | fields)

    def block(self, delivery: str | None, variety: str, **fields: Any) -> str:
        own = {"label": "22222", "variety": variety, "delivery": delivery, "wet_g": 3000}
        return self.add("block", **own | fields)

    def pick(self, block: str, wet_g: float = 600, at: str = "2026-05-03T07:00:00Z", **fields: Any) -> str:
        return self.add("pick", **{"block": block, "flush": 1, "at": at, "wet_g": wet_g, **fields})

    def happened(self, block: str, what: str, at: str = "2026-06-20T07:00:00Z", **fields: Any) -> str:
        return self.add("happening", block=block, what=what, at=at, **fields)

    def finished(self, delivery: str, variety: str, *flushes: float, **fields: Any) -> str:
        """A block that gave these flushes and is spent."""
        block = self.block(delivery, variety, **fields)
        for n, grams in enumerate(flushes, 1):
            self.pick(block, grams, f"2026-05-{4 + 10 * (n - 1):02}T07:00:00Z", flush=n)
        self.happened(block, "spent")
        return block

    def sent(self) -> None:
        while self._phone.push():
            pass
        assert self._phone.parked == []


def a_bit_of_everything(yard: Yard) -> None:
    """Most kinds of record, with the values that tables get wrong: below zero, fractions of a second, text like a number."""
    supplier, variety = yard.supplier("Larches"), yard.variety(temp_low_c=-4.5, temp_high_c=18)
    place = yard.add("place", name="North shed")
    lot = yard.delivery(supplier, price="12.10", currency="EUR", lot="-7", stored_c=-2)
    block = yard.finished(lot, variety, 412.5, dry_basis="assumed", moisture_low_pct=60, moisture_high_pct=65)
    pick = yard.pick(block, 300, typed="300 g")
    yard.add("reading", place=place, at="2026-05-03T07:00:00.250000Z", temp_c=-1.5, rh_pct=88)
    load = yard.add("drying", method="freeze", started="2026-05-03T08:00:00Z", dry_g=30)
    yard.add("drying_part", drying=load, pick=pick, wet_g=300)
    yard.add("drying_weighing", drying=load, at="2026-05-03T12:00:00Z", mass_g=31.5, cooled=True)
    yard.add(
        "photo",
        block=block,
        stage="pins",
        taken="2026-05-01T07:00:00Z",
        sha256="a" * 64,
        thumb_sha256="b" * 64,
        width=1600,
        height=1200,
    )
    yard.sent()
