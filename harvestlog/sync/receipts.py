"""The answer to an operation, as its receipt keeps it: the same for ever, however often it is asked for."""

import hashlib
import json

from harvestlog.sync.forms import Operation, Result
from harvestlog.sync.models import Receipt


def digest_of(op: Operation) -> str:
    """SHA-256 over what the operation says, in one canonical spelling.

    `base` is left out: it says what the phone had seen, and counts anew when a restored server is healed by
    the same operations being sent again.
    """
    text = json.dumps(op.model_dump(mode="json", exclude={"base"}), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def answer_again(receipt: Receipt, digest: str) -> Result:
    if receipt.digest == digest:
        return told(receipt)
    words = "Another change was sent under the same id before. Save this one again, so that it gets an id of its own."
    return Result(id=receipt.op, status="rejected", code="id_reused", message=words)


def told(receipt: Receipt) -> Result:
    return Result(
        id=receipt.op,
        status=receipt.status,  # type: ignore[arg-type]  # only ever written by push
        seq=receipt.seq,
        code=receipt.code or None,
        message=receipt.message or None,
        field=receipt.field or None,
        lost_fields=receipt.lost_fields,
    )
