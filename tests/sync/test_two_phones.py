"""Two phones of a farm and a line that loses answers, repeats requests and breaks off pulls (Hypothesis, stateful).

Places have a name and a note, each settled alone. Picks and jars have weights with the words that were typed for them:
a phone sends such a group whole, and of two phones' groups one must stand whole.
"""

from typing import Any
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from harvestlog.accounts.models import Farm
from harvestlog.sync import pull, push
from harvestlog.sync.kinds import KINDS
from harvestlog.sync.merge import Merged, Stamp, merge
from harvestlog.sync.models import Change, Receipt
from tests.sync.farms import new_farm, new_member, phone_of
from tests.sync.phone import EPOCH_START
from tests.sync.writes import MASSES, TYPED, WRITES, Json, Row

PHONES = st.sampled_from([0, 1])
HOURS = st.integers(0, 5)  # few, so that phones often write at the same moment


class TwoPhones(RuleBasedStateMachine):
    rows = Bundle("rows")

    @initialize(target=rows, kind=st.sampled_from(sorted(WRITES)))
    def a_farm_with_two_phones(self, kind: str) -> Row:
        self.farm = new_farm()
        self.phones = [phone_of(new_member(self.farm)) for _ in range(2)]
        row = self._new(0, kind, 0)
        self.phones[0].push()
        self.phones[1].pull()  # so that both can change it from the first step on
        return row

    @rule(target=rows, who=PHONES, kind=st.sampled_from(sorted(WRITES)), hour=HOURS)
    def add(self, who: int, kind: str, hour: int) -> Row:
        return self._new(who, kind, hour)

    @rule(who=PHONES, row=rows, part=st.integers(0, 9), hour=HOURS)
    def write(self, who: int, row: Row, part: int, hour: int) -> None:
        parts = WRITES[row.kind].parts
        self._if_seen(who, "patch", row, parts[part % len(parts)], hour)

    @rule(who=PHONES, row=rows, hour=HOURS)
    def type_it_another_way(self, who: int, row: Row, hour: int) -> None:
        """As no phone does today: half a group, sound beside the other half that the phone sees."""
        seen = self.phones[who].view().get(row.id, {"fields": {}})["fields"]
        for grams, typed in MASSES:
            if words := TYPED.get(seen.get(grams)):
                self._if_seen(who, "patch", row, {typed: words[words[0] == seen[typed]]}, hour)
                return

    @rule(first=PHONES, row=rows, part=st.integers(0, 9), hours=st.tuples(HOURS, HOURS))
    def change_it_on_both(self, first: int, row: Row, part: int, hours: tuple[int, int]) -> None:
        """Neither has heard of the other's change; chance alone would seldom bring this about."""
        self.type_it_another_way(first, row, hours[0])
        self.write(1 - first, row, part, hours[1])
        for who in (first, 1 - first):
            self.phones[who].push()

    @rule(who=PHONES, row=rows)
    def write_what_is_refused(self, who: int, row: Row) -> None:
        self._if_seen(who, "patch", row, WRITES[row.kind].refused, 0)

    @rule(who=PHONES, row=rows, hour=HOURS)
    def delete(self, who: int, row: Row, hour: int) -> None:
        self._if_seen(who, "delete", row, {}, hour)

    @rule(who=PHONES, row=rows, hour=HOURS)
    def restore(self, who: int, row: Row, hour: int) -> None:
        self._if_seen(who, "restore", row, {}, hour)

    @rule(who=PHONES, copies=st.integers(1, 3), lost=st.booleans(), at_most=st.integers(1, 4))
    def push(self, who: int, copies: int, lost: bool, at_most: int) -> None:
        self.phones[who].push(copies=copies, answer_lost=lost, at_most=at_most)

    @rule(who=PHONES, limit=st.integers(1, 3), pages=st.integers(1, 3))
    def pull_a_little(self, who: int, limit: int, pages: int) -> None:
        phone = self.phones[who]
        cursor, checkpoint = phone.cursor, phone.checkpoint
        phone.pull(limit=limit, pages=pages)
        assert phone.cursor >= cursor  # I6
        assert phone.checkpoint >= checkpoint

    def _new(self, who: int, kind: str, hour: int) -> Row:
        row = Row(kind, str(uuid4()))
        self._change(who, "add", row, WRITES[kind].new, hour)
        return row

    def _if_seen(self, who: int, verb: str, row: Row, fields: Json, hour: int) -> None:
        if row.id in self.phones[who].view():
            self._change(who, verb, row, fields, hour)

    def _change(self, who: int, verb: str, row: Row, fields: Json, hour: int) -> None:
        phone = self.phones[who]
        phone.change(verb, row.kind, row.id, fields, at=EPOCH_START.replace(hour=hour))
        seen = phone.view()[row.id]  # I8: what was just saved is in the view
        assert all(seen["fields"][name] == value for name, value in fields.items())

    @invariant()
    def nothing_vanishes(self) -> None:  # I3
        applied = {
            str(op)
            for op in Receipt.objects.filter(farm=self.farm, status="applied").values_list("op", flat=True)
        }
        for phone in self.phones:
            waiting = {op["id"] for op in phone.outbox}
            refused = {parked["op"]["id"] for parked in phone.parked}
            assert set(phone.made) <= waiting | refused | applied

    @invariant()
    def seqs_are_dense(self) -> None:  # I4
        seqs = list(Change.objects.filter(farm=self.farm).order_by("seq").values_list("seq", flat=True))
        assert seqs == list(range(1, len(seqs) + 1))
        assert Farm.objects.get(pk=self.farm.pk).seq == len(seqs)

    @invariant()
    def one_effect_an_operation(self) -> None:  # I2
        ops = list(Change.objects.filter(farm=self.farm).values_list("op", flat=True))
        assert len(ops) == len(set(ops))

    def teardown(self) -> None:
        if not hasattr(self, "phones"):
            return
        for _ in range(2):
            for phone in self.phones:
                while phone.push():
                    pass
                phone.pull()
        server = {
            str(row.uuid): {"deleted": row.deleted, "fields": kind.written(row)}
            for kind in KINDS.values()
            for row in kind.model._default_manager.filter(farm=self.farm)
        }
        for phone in self.phones:  # I7
            assert phone.outbox == []
            assert phone.view() == server
        assert self.phones[0].canonical() == self.phones[1].canonical()
        self._no_resurrection(server)
        self._groups_are_whole(server)
        self._what_was_sound_is_accepted()

    def _groups_are_whole(self, server: dict[str, Json]) -> None:
        for fields in (row["fields"] for row in server.values()):
            for grams, typed in MASSES:
                assert not fields.get(typed) or fields[typed] in TYPED[fields[grams]]
        for change in Change.objects.filter(farm=self.farm, verb="patch"):
            for group in KINDS[change.kind].together:
                lost = group & set(change.lost)
                assert lost in (set(), group & set(change.before))

    def _what_was_sound_is_accepted(self) -> None:
        """A phone that sends its groups whole is never told that what it sent together does not agree."""
        for parked in (parked for phone in self.phones for parked in phone.parked):
            kind, fields = parked["op"]["kind"], parked["op"]["fields"]
            assert parked["code"] == "deleted_since" or fields not in WRITES[kind].parts

    def _no_resurrection(self, server: dict[str, Json]) -> None:  # I9
        for row, now in server.items():
            verbs = [
                change.verb for change in Change.objects.filter(farm=self.farm, row=row).order_by("seq")
                if change.verb in {"delete", "restore"}
            ]  # fmt: skip
            assert now["deleted"] == (verbs[-1:] == ["delete"])


def hold_the_promises(examples: int, shrink: bool = True) -> None:
    run_state_machine_as_test(
        TwoPhones,
        settings=settings(
            max_examples=examples,
            stateful_step_count=25,
            deadline=None,
            database=None,
            phases=[Phase.generate, Phase.shrink] if shrink else [Phase.generate],
            report_multiple_bugs=False,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.mark.django_db(transaction=True)
def test_two_phones_and_a_line_that_loses_answers() -> None:
    hold_the_promises(examples=40)


@pytest.mark.django_db(transaction=True)
def test_a_pull_that_skips_a_row_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = pull._rows
    monkeypatch.setattr(pull, "_rows", lambda *asked: [row for row in whole(*asked) if row.seq % 3])
    with pytest.raises(AssertionError):
        hold_the_promises(examples=30, shrink=False)


@pytest.mark.django_db(transaction=True)
def test_a_push_that_forgets_its_answers_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    answer = push._answer

    def forgetful(farm: Farm, *asked: Any) -> Any:
        Receipt.objects.filter(farm=farm).delete()
        return answer(farm, *asked)

    monkeypatch.setattr(push, "_answer", forgetful)
    with pytest.raises(AssertionError):
        hold_the_promises(examples=30, shrink=False)


@pytest.mark.django_db(transaction=True)
def test_a_group_that_is_settled_field_by_field_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    def alone(stamps: Json, fields: Json, mine: Stamp, base: int, together: object) -> Merged:
        return merge(stamps, fields, mine, base)

    monkeypatch.setattr(push, "merge", alone)
    heavier = {"wet_g": 900, "typed": "900 g"}
    phones = TwoPhones()  # by hand: chance needs many farms for just these hours and weights
    row = phones.a_farm_with_two_phones("pick")
    phones.change_it_on_both(0, row, part=WRITES["pick"].parts.index(heavier), hours=(5, 1))
    with pytest.raises(AssertionError):
        phones.teardown()
