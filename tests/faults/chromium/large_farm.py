"""A farm of 10,000 records as they cross the wire, 2,000 photos among them, each with a tiny thumbnail of its own."""

from hashlib import sha256
from io import BytesIO
from random import Random

from PIL import Image

from harvestlog.blocks.labels import make_label
from tests.faults.recorded import Recorded
from tests.sync.phone import Json

RECORDS, BLOCKS, PHOTOS = 10_000, 100, 2_000
AT = "2026-05-03T07:40:00Z"


class LargeFarm:
    """`ops` in the order a phone would send them."""

    def __init__(self, hand: Recorded, chance: Random) -> None:
        self.hand, self.chance = hand, chance
        self.ops: list[Json] = []
        self.label = _label(0)

    def is_written(self) -> dict[str, bytes]:
        """The thumbnails, by their hashes."""
        supplier = self._adds("supplier", name="Three Larches", contact="", note="")
        variety = self._adds("variety", name="Grey oyster", species="pleurotus-ostreatus", strain="",
                             temp_low_c=None, temp_high_c=None, note="")  # fmt: skip
        delivery = self._adds("delivery", supplier=supplier, lot="TL-0412", received="2026-04-20", price=None,
                              currency="EUR", count=BLOCKS, stored_c=None, note="")  # fmt: skip
        blocks = [self._block(number, variety, delivery) for number in range(BLOCKS)]
        pictures: dict[str, bytes] = {}
        for number in range(PHOTOS):
            pictures |= self._photo(blocks[number % BLOCKS])
        while len(self.ops) < RECORDS:
            number = len(self.ops)
            self._adds("pick", block=blocks[number % BLOCKS], flush=1, at=AT, wet_g=10.0 + number % 20)
        return pictures

    def _adds(self, kind: str, **fields: object) -> str:
        row = self.hand.new_id()
        op = {"id": self.hand.new_id(), "verb": "add", "kind": kind, "row": row, "base": 0, "at": AT}
        self.ops.append(op | {"fields": fields})
        return row

    def _block(self, number: int, variety: str, delivery: str) -> str:
        return self._adds("block", label=_label(number), variety=variety, delivery=delivery, form="bag", wet_g=3000,
                          dry_basis="none", dry_g=None, moisture_pct=None, moisture_low_pct=None,
                          moisture_high_pct=None, place=None, note="")  # fmt: skip

    def _photo(self, block: str) -> dict[str, bytes]:
        """Its full picture waits on the phone that took it, as on a weak line; the thumbnail is what lists show."""
        full, thumb = (_jpeg(self.chance, side) for side in (24, 8))
        names = [sha256(jpeg).hexdigest() for jpeg in (full, thumb)]
        self._adds("photo", block=block, flush=1, pick=None, stage="pins", taken=AT, sha256=names[0],
                   thumb_sha256=names[1], width=24, height=24, note="")  # fmt: skip
        return {names[1]: thumb}


def _label(number: int) -> str:
    return make_label((0, 0, number // 32, number % 32))


def _jpeg(chance: Random, side: int) -> bytes:
    """Of noise, so that no two are the same bytes."""
    out = BytesIO()
    Image.frombytes("RGB", (side, side), chance.randbytes(side * side * 3)).save(out, "JPEG")
    return out.getvalue()
