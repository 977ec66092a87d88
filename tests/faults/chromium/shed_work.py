"""What one grower does again and again with a real phone, each time with a weight of its own to know it by."""

from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

from tests.browser.conftest import NewPhone, Shed
from tests.browser.grower import Grower
from tests.faults.history import History
from tests.photos.camera import snapshot

WHO = "Olga"
PICKS_OF_A_BLOCK = 10


@dataclass
class Work:
    """Olga at her blocks. A save goes by its weight in grams."""

    grower: Grower
    labels: list[str]
    folder: Path
    history: History
    chance: Random
    grams: int = 100

    @property
    def label(self) -> str:
        """Ten picks of one block, or the app asks whether so much can come of 3 kg."""
        return self.labels[(self.grams - 101) // PICKS_OF_A_BLOCK]

    def stands_at_the_scale(self) -> int:
        """A weight typed and a picture taken, nothing saved yet."""
        self.grams += 1
        picture = self.folder / f"{self.grams}.jpg"
        # Another size each time, so that no two are the same picture.
        picture.write_bytes(snapshot(300 + self.grams, 300))
        self.grower.opens_block(self.label).taps("Weigh")
        self._rubs_out_what_was_typed_before()
        self.grower.presses(str(self.grams)).takes_a_photo(picture)
        return self.grams

    def _rubs_out_what_was_typed_before(self) -> None:
        """A weight that was typed and not saved when the browser died is still there."""
        for _ in str(self.grams):
            self.grower.taps("Rub out the last")

    def says(self, what: str, grams: int, **more: Any) -> None:
        op = {"id": f"{grams} g", "verb": "add", "kind": "pick", "row": f"{grams} g", "fields": {}}
        self.history.note(WHO, what, op=op, pictures=[f"{grams} full", f"{grams} thumb"], **more)

    def finds(self) -> dict[str, list[str]]:
        """What lies in the phone's storage, by weight: picks, and the pictures whose bytes are there with their record."""
        stored = self.grower.records()
        ops = [entry["op"] for entry in stored["outbox"]]
        sizes = dict(stored["photos"])
        weights = {op["row"]: round(op["fields"]["wet_g"]) for op in ops if op["kind"] == "pick"}
        pictures, named = [], set[str]()
        for op in ops:
            if op["kind"] == "photo":
                full, thumb = op["fields"]["sha256"], op["fields"]["thumb_sha256"]
                grams = weights.get(op["fields"]["pick"], 0)
                pictures += [
                    f"{grams} {n}" for n, sha in (("full", full), ("thumb", thumb)) if sizes.get(sha)
                ]
                named |= {full, thumb}
        pictures += [f"stray {sha}" for sha in sizes.keys() - named]
        return {"ops": [f"{grams} g" for grams in weights.values()], "pictures": pictures}


def blocks_for(picks: int) -> int:
    return picks // PICKS_OF_A_BLOCK + 1


def at_work(
    shed: Shed, new_phone: NewPhone, folder: Path, history: History, chance: Random, picks: int
) -> Work:
    """With no server in reach."""
    grower = Grower(new_phone())
    grower.phone.open()
    grower.starts_a_farm(shed.setup_code).is_ready_for_no_signal()
    labels = grower.writes_down_a_delivery(blocks=blocks_for(picks))
    grower.has_sent_everything()
    shed.kill()
    history.note(WHO, "phone", farm="Alder Yard", device="Olga's phone")
    return Work(grower, labels, folder, history, chance)
