"""The judge: reads a history and says, promise by promise, what in it is broken. Imports nothing of harvestlog.

Each of the fifteen promises of sync is a function that returns sentences; none means that it held. A history is judged
only by what it tells: one without photos says nothing about I15.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Sequence

from tests.faults import completeness, pages, survival
from tests.faults.expected import replayed
from tests.faults.told import Event, Told, few, same, taken_apart

Judge = Callable[[Told], list[str]]


def once(told: Told) -> list[str]:
    """I2: any operation, delivered however often, has one effect and one answer."""
    said = []
    for farm, dump in told.server.items():
        for what, ops in (("change", dump["changes"]), ("receipt", dump["receipts"])):
            twice = [op for op, count in Counter(each["op"] for each in ops).items() if count > 1]
            said += [f"{op} has more than one {what}" for op in twice]
        said += _answers(told, farm, {receipt["op"]: receipt for receipt in dump["receipts"]})
    return said


def _answers(told: Told, farm: str, receipts: dict[str, Event]) -> list[str]:
    """What was answered in this history, against the first answer and against the receipt."""
    said, first = [], dict[str, tuple[object, ...]]()
    for call in told.answered("push", farm):
        for result in call.answer.get("results", []):
            if result["status"] == "retry" or result["code"] == "id_reused":
                continue
            answer = tuple(str(result[name] or "") for name in ("status", "seq", "code"))
            if call.restores == len(told.restored[farm]):
                if first.setdefault(result["id"], answer) != answer:
                    said.append(f"{result['id']} was answered {first[result['id']]}, then {answer}")
                kept = receipts.get(result["id"])
                if (
                    kept is None
                    or tuple(str(kept[name] or "") for name in ("status", "seq", "code")) != answer
                ):
                    said.append(f"{result['id']} was answered {answer}, and its receipt says otherwise")
    return said


def dense(told: Told) -> list[str]:
    """I4: the applied operations of a farm are numbered 1..head, and whoever sees one sees all before it."""
    said = []
    for farm, dump in told.server.items():
        seqs = [change["seq"] for change in told.changes(farm)]
        if seqs != list(range(1, dump["head"] + 1)):
            gaps = set(range(1, dump["head"] + 1)) ^ set(seqs)
            said.append(f"farm {farm}: head {dump['head']}, and missing or beyond it: {few(gaps)}")
        applied = {r["seq"]: r["op"] for r in dump["receipts"] if r["status"] == "applied"}
        said += [
            f"number {change['seq']} is {change['op']} in the history and {applied.get(change['seq'])} by receipt"
            for change in told.changes(farm)
            if applied.get(change["seq"]) != change["op"]
        ]
        said += pages.hidden(told, farm)
    return said


def monotonic(told: Told) -> list[str]:
    """I6: cursor and checkpoint never fall within an epoch, and the checkpoint is never ahead."""
    said, last = [], dict[tuple[str, str], Event]()
    for event in told.events:
        if event["what"] != "cursor":
            continue
        before = last.get((event["who"], event["epoch"]), event)
        said += [
            f"{event['who']}'s {name} fell from {before[name]} to {event[name]}"
            for name in ("cursor", "checkpoint")
            if event[name] < before[name]
        ]
        if event["checkpoint"] > event["cursor"]:
            said.append(f"{event['who']}'s checkpoint {event['checkpoint']} is ahead of {event['cursor']}")
        last[event["who"], event["epoch"]] = event
    return said


def converged(told: Told) -> list[str]:
    """I7: who has nothing to send and has read to the head has what the server has, and that is what the rule gives."""
    said = []
    for farm, dump in told.server.items():
        server = {row["id"]: row for row in dump["rows"]}
        for who, phone in told.phones.items():
            at_head = (phone["cursor"], phone["epoch"]) == (dump["head"], dump["epoch"])
            if told.farms[who] != farm or phone["outbox"] or not at_head:
                continue
            held = {row["id"]: row for row in phone["confirmed"]}
            unlike = {id for id in held.keys() | server.keys() if held.get(id) != server.get(id)}
            if unlike:
                said.append(f"{who} and the server differ in {few(unlike)}")
        said += _by_the_rule(told, farm, server)
    return said


def _by_the_rule(told: Told, farm: str, server: dict[str, Event]) -> list[str]:
    said = []
    rows, verdicts = replayed(told, farm)
    said += [verdict.trouble for verdict in verdicts.values() if verdict.trouble]
    said += [f"{id} is on one side only" for id in rows.keys() ^ server.keys()]
    for id in rows.keys() & server.keys():
        if rows[id].seq != server[id]["seq"]:
            said.append(f"{id} was changed last by {rows[id].seq}, and the server says {server[id]['seq']}")
        for name, value in rows[id].fields.items():
            if not same(value, server[id]["fields"].get(name)):
                said.append(f"{id}: {name} should be {value!r} and is {server[id]['fields'].get(name)!r}")
    return said


def no_resurrection(told: Told) -> list[str]:
    """I9: what is deleted stays so until somebody who saw it brings it back."""
    said = []
    for farm, dump in told.server.items():
        rows, verdicts = replayed(told, farm)
        said += [verdict.trouble for verdict in verdicts.values() if "brought back" in verdict.trouble]
        for row in dump["rows"]:
            if row["id"] in rows and row["deleted"] != rows[row["id"]].deleted:
                was = "deleted" if rows[row["id"]].deleted else "not deleted, or brought back"
                said.append(f"{row['id']} was {was}, and the server shows the opposite")
        said += pages.risen(told, farm)
    return said


def tenancy(told: Told) -> list[str]:
    """I10: no phone is ever shown a row, or a value, of another farm, however it is named."""
    ours: dict[str, dict[str, list[tuple[str, object]]]] = defaultdict(lambda: defaultdict(list))
    for (farm, _), op in told.made.items():
        for name, value in op["fields"].items():
            ours[farm][op["row"]].append((name, value))
    said = []
    for call in told.answered("pull"):
        for row in call.answer.get("rows", []):
            known = ours[call.farm].get(row["id"])
            if known is None:
                said.append(f"{call.who} was shown {row['id']}, which nobody of its farm made")
                continue
            for name, value in row["fields"].items():
                written = [mine for each, mine in known if each == name]
                if written and not any(same(value, mine) for mine in written):
                    said.append(
                        f"{call.who} was shown {name} {value!r} of {row['id']}, written by nobody there"
                    )
    return said


def old_clients(told: Told) -> list[str]:
    """I11: an operation of an older phone still has the answer that was recorded."""
    return [
        f"{event['name']} was answered {event['given']}, and {event['wanted']} was recorded"
        for event in told.events
        if event["what"] == "recorded" and event["given"] != event["wanted"]
    ]


def clock_proof(told: Told) -> list[str]:
    """I12: a wrong clock changes nothing but ties between concurrent edits, and no stated time."""
    said = []
    for farm in told.server:
        _, verdicts = replayed(told, farm)
        for change in told.changes(farm):
            verdict = verdicts.get(change["op"])
            if verdict is None:
                continue
            for name in verdict.undisputed:
                written = change["after"].get(name)
                if name in change["lost"] or (name != "deleted" and not same(written, verdict.stands[name])):
                    said.append(f"{change['op']} wrote {name} with no rival, and it did not stand")
    return said


def sums(told: Told) -> list[str]:
    """I13: grams on the server are the grams of the distinct adds that were accepted, as they were corrected since."""
    said = []
    for farm, dump in told.server.items():
        added = {
            change["op"] for change in dump["changes"] if (change["verb"], change["kind"]) == ("add", "pick")
        }
        wanted = sum(told.made[farm, op]["fields"]["wet_g"] for op in added if (farm, op) in told.made)
        said_to_be = sum(change["after"]["wet_g"] for change in dump["changes"] if change["op"] in added)
        rows, _ = replayed(told, farm)
        now = sum(row["fields"]["wet_g"] for row in dump["rows"] if row["kind"] == "pick")
        corrected = sum(row.fields["wet_g"] for row in rows.values() if row.kind == "pick")
        if abs(wanted - said_to_be) > 1e-6:
            said.append(f"farm {farm}: {wanted:g} g were added, and its history says {said_to_be:g} g")
        if abs(now - corrected) > 1e-6:
            said.append(f"farm {farm} has {now:g} g, and its accepted picks are {corrected:g} g")
    return said


PROMISES: dict[str, Judge] = {
    "I1": survival.captured,
    "I2": once,
    "I3": survival.nothing_vanished,
    "I4": dense,
    "I5": completeness.complete,
    "I6": monotonic,
    "I7": converged,
    "I8": survival.read_your_writes,
    "I9": no_resurrection,
    "I10": tenancy,
    "I11": old_clients,
    "I12": clock_proof,
    "I13": sums,
    "I14": survival.healed,
    "I15": completeness.pictures,
}


def judged(events: Sequence[Event]) -> dict[str, list[str]]:
    """Of each promise, what is broken. A history without an end is none."""
    told = taken_apart(events)
    unfinished = {farm for farm in told.farms.values() if farm not in told.server}
    unfinished |= {who for who in told.farms if who not in told.phones}
    if unfinished:
        raise ValueError(f"the history ends without a dump of {few(unfinished)}")
    return {name: judge(told) for name, judge in PROMISES.items()}


def broken(events: Sequence[Event]) -> dict[str, list[str]]:
    return {name: said for name, said in judged(events).items() if said}
