"""Whatever a phone puts into a record's fields, the answer is "applied" or a refusal in words."""

from typing import Any
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from harvestlog.sync.kinds import KINDS
from tests.sync.phone import Phone

# What hand-written clients, half-typed forms and attackers send.
AWKWARD = st.sampled_from(
    ["", " ", "\0", "’", "\u202e", "0", "-1", "1e309", "NaN", "2026-02-30", "2026-05-03", "9999-12-31", "0001-01-01",
     "2026-05-03T07:40:00Z", "9999-12-31T23:59:59-14:00", "none", "assumed", "fresh", "340 g", "1/0 lb", "=1+1", "x" * 3000, "22222"]
)  # fmt: skip
VALUES = st.one_of(
    AWKWARD, st.none(), st.booleans(), st.integers(-(2**63), 2**63), st.floats(allow_nan=False, allow_infinity=False),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20), st.uuids().map(str),
)  # fmt: skip
SOUND: dict[str, dict[str, Any]] = {
    "supplier": {"name": "Three Larches"},
    "variety": {"name": "Grey oyster"},
    "place": {"name": "Tent"},
    "delivery": {"supplier": str(uuid4()), "received": "2026-04-20", "count": 3},
    "block": {"label": "22222", "variety": str(uuid4())},
    "happening": {"block": str(uuid4()), "what": "opened", "at": "2026-05-03T07:40:00Z"},
    "pick": {"block": str(uuid4()), "flush": 1, "at": "2026-05-03T07:40:00Z", "wet_g": 340.0},
    "photo": {
        "block": str(uuid4()), "stage": "pins", "taken": "2026-05-03T07:40:00Z",
        "sha256": "0" * 64, "thumb_sha256": "1" * 64, "width": 1600, "height": 1200,
    },
    "reading": {"place": str(uuid4()), "at": "2026-05-03T07:40:00Z"},
    "drying": {"method": "freeze", "started": "2026-05-03T07:40:00Z"},
    "drying_part": {"drying": str(uuid4()), "wet_g": 340.0},
    "drying_weighing": {"drying": str(uuid4()), "at": "2026-05-03T07:40:00Z", "mass_g": 118.0},
    "jar": {"label": "22222", "dry_g": 60.0, "packed": "2026-05-04"},
    "taking": {"jar": str(uuid4()), "at": "2026-05-03T07:40:00Z", "mass_g": 12.0},
    "trial": {"at": "2026-05-03T07:40:00Z", "dry_g": 10.0},
    "trial_weighing": {"trial": str(uuid4()), "minutes": 5.0, "drained_g": 31.0},
    "extract": {
        "name": "Shelf two", "mass_g": 100.0, "spirit_ml": 500.0, "spirit_pct": 95.0,
        "started": "2026-05-03T07:40:00Z",
    },
    "extract_step": {"extract": str(uuid4()), "what": "shaken", "at": "2026-05-03T07:40:00Z"},
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_the_plainest_record_of_a_kind_is_applied(phone: Phone, kind: str) -> None:
    phone.change("add", kind, str(uuid4()), SOUND[kind])
    assert phone.push()[0]["status"] == "applied"


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_odd_fields_are_applied_or_refused_in_words(phone: Phone, kind: str, data: st.DataObject) -> None:
    odd = data.draw(
        st.dictionaries(st.sampled_from(sorted(KINDS[kind].fields)), VALUES, min_size=1, max_size=3)
    )
    row = str(uuid4())
    phone.change("add", kind, row, SOUND[kind])
    phone.change("patch", kind, row, odd)
    phone.change("add", kind, str(uuid4()), SOUND[kind] | odd)
    for result in phone.push():
        assert result["status"] in {"applied", "rejected"}
        assert result["status"] == "applied" or result["message"]
    phone.pull()
