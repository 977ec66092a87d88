"""Whether anything of one person was ever sent, or is kept, as another's. Imports nothing of harvestlog."""

from collections.abc import Sequence

from tests.faults.told import Event, taken_apart


def sent_as_another(events: Sequence[Event]) -> list[str]:
    """Of every operation that went out, and every record that was added: the person it was made by."""
    told = taken_apart(events)
    maker = {op["id"]: op["who"] for op in told.made.values()}
    said = [
        f"{maker[op['id']]} made {op['id']}, and it was sent by {call.who}"
        for call in told.calls if call.sent["of"] == "push"
        for op in call.sent["ops"] if maker.get(op["id"], call.who) != call.who
    ]  # fmt: skip
    persons = {
        event["who"]: event["person"] for event in events if event["what"] == "phone" and "person" in event
    }
    authors = {
        (farm, op["row"]): persons.get(op["who"])
        for (farm, _), op in told.made.items() if op["verb"] == "add"
    }  # fmt: skip
    for farm, dump in told.server.items():
        for row in dump["rows"]:
            wanted = authors.get((farm, row["id"]))
            if wanted and row["author"] != wanted:
                said.append(f"{row['id']} was made by {wanted}, and the server says by {row['author']}")
    return said
