"""Wrong histories of I1 to I7: what is saved, applied, numbered, read and merged wrongly."""

import copy
from random import Random

from tests.faults.wrong.parts import Events, of, pages, phones, server, shown


def forgets_a_saved_record(events: Events, chance: Random) -> None:
    (back,) = of(events, "restarted")
    back["ops"].remove(chance.choice(back["ops"]))


def keeps_a_record_without_its_picture(events: Events, chance: Random) -> None:
    (back,) = of(events, "restarted")
    back["pictures"].remove(chance.choice(back["pictures"]))


def keeps_pictures_of_a_save_that_was_cut(events: Events, chance: Random) -> None:
    (back,) = of(events, "restarted")
    save = next(e for e in of(events, "made", who=back["who"]) if e["pictures"])
    save["what"] = "tried"
    back["ops"].remove(save["op"]["id"])


def applies_twice(events: Events, chance: Random) -> None:
    dump = server(events)
    again = copy.deepcopy(chance.choice(dump["changes"])) | {"seq": dump["head"] + 1}
    dump["changes"].append(again)
    dump["head"] += 1


def answers_differently(events: Events, chance: Random) -> None:
    answers = [event for event in of(events, "ok") if event.get("results")]
    result = chance.choice([r for r in chance.choice(answers)["results"] if r["seq"]])
    result["seq"] += 1


def loses_what_waits(events: Events, chance: Random) -> None:
    phone = next(dump for dump in phones(events) if dump["outbox"])
    phone["outbox"].pop(chance.randrange(len(phone["outbox"])))


def loses_what_was_refused(events: Events, chance: Random) -> None:
    phone = next(dump for dump in phones(events) if dump["parked"])
    phone["parked"].clear()


def forgets_the_outvoted_value(events: Events, chance: Random) -> None:
    change = chance.choice([change for change in server(events)["changes"] if change["lost"]])
    change["lost"].pop(chance.choice(list(change["lost"])))


def leaves_a_number_out(events: Events, chance: Random) -> None:
    dump = server(events)
    last = max(dump["changes"], key=lambda change: int(change["seq"]))
    dump["head"] += 1
    for receipt in dump["receipts"]:
        if receipt["seq"] == last["seq"]:
            receipt["seq"] += 1
    last["seq"] += 1


def shows_a_later_row_before_an_earlier(events: Events, chance: Random) -> None:
    page = chance.choice([page for page in pages(events) if len(page["rows"]) > 1])
    page["rows"].pop(0)


def never_gives_a_row(events: Events, chance: Random) -> None:
    phone = chance.choice([dump for dump in phones(events) if dump["confirmed"]])
    row = chance.choice(phone["confirmed"])["id"]
    phone["confirmed"] = [each for each in phone["confirmed"] if each["id"] != row]
    for page in pages(events):
        if page["who"] == phone["who"]:
            page["rows"] = [each for each in page["rows"] if each["id"] != row]


def gives_new_phones_less_than_it_has(events: Events, chance: Random) -> None:
    dump = server(events)
    dump["rows"].pop(chance.randrange(len(dump["rows"])))


def goes_back(events: Events, chance: Random) -> None:
    steps = [event for event in of(events, "cursor") if event["cursor"] > 1]
    chance.choice(steps[-4:])["cursor"] = 1


def is_sure_too_soon(events: Events, chance: Random) -> None:
    chance.choice(of(events, "cursor"))["checkpoint"] += 10


def shows_one_phone_something_else(events: Events, chance: Random) -> None:
    phone = next(dump for dump in phones(events) if not dump["outbox"])
    row = chance.choice([each for each in phone["confirmed"] if each["kind"] == "place"])
    row["fields"]["note"] = "somewhere else"


def lets_the_earlier_edit_stand(events: Events, chance: Random) -> None:
    """On every side alike: only the rule knows better."""
    dump = server(events)
    change = chance.choice([change for change in dump["changes"] if change["lost"]])
    name = chance.choice(list(change["lost"]))
    for row in shown(events, change["row"]):
        row["fields"][name] = change["lost"][name]
