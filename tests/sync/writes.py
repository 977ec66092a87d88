"""What two phones write to records of three kinds: each part stands or falls whole when both wrote at once."""

from typing import Any, NamedTuple

from tests.sync.farms import pick

Json = dict[str, Any]

# The same mass in two ways of typing it: one field of a group can change without the other.
TYPED: dict[float, tuple[str, ...]] = {
    340: ("340 g", "0.34 kg"), 900: ("900 g", "0.9 kg"), 31: ("31 g", "0.031 kg"), 40: ("40 g", "0.04 kg"),
}  # fmt: skip
# Every dry mass is below every fresh one: no sound group is refused for what stands beside it.
FRESH, DRY = (340, 900), (31, 40)
MASSES = (("dry_g", "dry_typed"), ("wet_g", "typed"))


def weights(grams: str, typed: str, masses: tuple[float, ...]) -> list[Json]:
    return [{grams: mass, typed: words} for mass in masses for words in TYPED[mass]]


class Writes(NamedTuple):
    """What is written to a kind: whole to begin with, then parts that each stand or fall whole; one is refused."""

    new: Json
    parts: list[Json]
    refused: Json


NOTES = [{"note": "damp"}, {"note": "dry"}]
NAMES = [{"name": name} for name in ("North shed", "Cellar", "Tent", "Polytunnel")]
DRIED = weights("dry_g", "dry_typed", DRY)
JAR = {"label": "33333", "packed": "2026-05-04", "note": ""} | DRIED[0]
WRITES = {
    "place": Writes(NAMES[0] | {"note": ""}, NAMES + NOTES, {"name": "  "}),
    "pick": Writes(
        pick("019decc9-af63-79bb-97ce-6fbf0d828bff", note=""),
        weights("wet_g", "typed", FRESH) + DRIED + NOTES,
        {"wet_g": -1, "typed": ""},
    ),
    "jar": Writes(JAR, DRIED + NOTES, {"label": ""}),
}


class Row(NamedTuple):
    kind: str
    id: str
