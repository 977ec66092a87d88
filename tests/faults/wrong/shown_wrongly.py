"""Wrong histories of I8 to I15: what is shown, judged by clocks, summed, healed and pictured wrongly."""

import copy
from random import Random

from tests.faults.wrong.parts import Event, Events, of, pages, patches, server, shown


def hides_a_record_just_saved(events: Events, chance: Random) -> None:
    made = chance.choice([e for e in of(events, "made") if e["op"]["verb"] == "add"])
    at = events.index(made)
    after = next(e for e in events[at:] if e["what"] == "shown" and e["who"] == made["who"])
    after["rows"].remove(made["op"]["row"])


def shows_nothing_for_a_moment(events: Events, chance: Random) -> None:
    savers = {event["who"]: events.index(event) for event in reversed(of(events, "made"))}  # their first save
    later = [e for e in of(events, "shown") if e["who"] in savers and events.index(e) > savers[e["who"]]]
    chance.choice(later)["rows"] = []


def brings_a_deleted_row_back(events: Events, chance: Random) -> None:
    dump = server(events)
    row = chance.choice([row for row in dump["rows"] if row["deleted"]])["id"]
    for each in shown(events, row):
        each["deleted"] = False
    dump["stored"][row][1] = False


def lets_somebody_restore_who_did_not_know(events: Events, chance: Random) -> None:
    op = chance.choice([e["op"] for e in of(events, "made") if e["op"]["verb"] == "restore"])
    for call in of(events, "invoke", of="push"):
        for sent in call["ops"]:
            if sent["id"] == op["id"]:
                sent["base"] = 1


def shows_a_strangers_row(events: Events, chance: Random) -> None:
    ours = server(events)["farm"]
    other = next(dump for dump in of(events, "dump", who="server") if dump["farm"] != ours)
    known = {row["id"] for row in server(events)["rows"]}
    foreign = chance.choice([row for row in other["rows"] if row["id"] not in known])
    chance.choice(pages(events))["rows"].append(foreign)


def shows_a_strangers_value_under_the_same_id(events: Events, chance: Random) -> None:
    ours = server(events)
    other = next(dump for dump in of(events, "dump", who="server") if dump["farm"] != ours["farm"])
    shared = {row["id"]: row for row in other["rows"]}
    for page in pages(events):
        for row in page["rows"]:
            if row["id"] in shared:
                row["fields"] = copy.deepcopy(shared[row["id"]]["fields"])


def answers_an_old_phone_anew(events: Events, chance: Random) -> None:
    chance.choice(of(events, "recorded"))["given"]["status"] = "rejected"


def numbers_an_old_phones_change_anew(events: Events, chance: Random) -> None:
    chance.choice(of(events, "recorded"))["given"]["seq"] += chance.randint(1, 9)


def lets_a_clock_decide_what_nobody_disputes(events: Events, chance: Random) -> None:
    """As if the earlier value had come from a clock ten years ahead."""
    change = chance.choice([change for change in patches(events) if _alone(events, change)])
    for name in list(change["after"]):
        change["lost"][name] = change["after"][name]
        change["after"][name] = change["before"][name]


def _alone(events: Events, change: Event) -> bool:
    """No other phone wrote to that row after this one had seen it."""
    base = next(
        sent["base"]
        for call in of(events, "invoke", of="push")
        for sent in call["ops"]
        if sent["id"] == change["op"]
    )
    return not any(
        base < other["seq"] < change["seq"]
        and other["row"] == change["row"]
        and other["device"] != change["device"]
        for other in server(events)["changes"]
    )


def moves_a_stated_time(events: Events, chance: Random) -> None:
    change = chance.choice(
        [c for c in server(events)["changes"] if (c["kind"], c["verb"]) == ("pick", "add")]
    )
    change["after"]["at"] = "2016-05-03T07:40:00Z"


def weighs_wrongly(events: Events, chance: Random) -> None:
    row = chance.choice([row for row in server(events)["rows"] if row["kind"] == "pick"])["id"]
    for each in shown(events, row):
        each["fields"]["wet_g"] += chance.choice([-1, 1])


def counts_an_add_twice(events: Events, chance: Random) -> None:
    change = chance.choice(
        [c for c in server(events)["changes"] if (c["kind"], c["verb"]) == ("pick", "add")]
    )
    change["after"]["wet_g"] *= 2


def loses_what_only_the_copy_had(events: Events, chance: Random) -> None:
    (copy_,) = of(events, "restored")
    gone = chance.choice(copy_["rows"])["id"]
    dump = server(events)
    dump["rows"] = [row for row in dump["rows"] if row["id"] != gone]
    dump["changes"] = [change for change in dump["changes"] if change["row"] != gone]


def shows_again_what_was_deleted_before(events: Events, chance: Random) -> None:
    brings_a_deleted_row_back(events, chance)


def goes_on_as_if_nothing_had_been_put_back(events: Events, chance: Random) -> None:
    (copy_,) = of(events, "restored")
    copy_["epoch"] = server(events)["epoch"]


def has_no_file(events: Events, chance: Random) -> None:
    chance.choice(server(events)["photos"])["file_sha256"] = None


def has_another_file(events: Events, chance: Random) -> None:
    chance.choice(server(events)["photos"])["file_sha256"] = f"{chance.getrandbits(256):064x}"


def forgets_a_picture(events: Events, chance: Random) -> None:
    dump = server(events)
    dump["photos"].pop(chance.randrange(len(dump["photos"])))


def sweeps_nothing(events: Events, chance: Random) -> None:
    (sweep,) = of(events, "swept")
    sweep["after"] = sweep["before"]


def sweeps_too_much(events: Events, chance: Random) -> None:
    (sweep,) = of(events, "swept")
    sweep["after"].pop(chance.randrange(2))
