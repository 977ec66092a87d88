"""Two phones of a farm and a line that loses answers, repeats requests and breaks off pulls (Hypothesis, stateful)."""

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
from harvestlog.sync.models import Change, Receipt
from tests.sync.farms import new_farm, new_member, phone_of
from tests.sync.phone import EPOCH_START

PHONES = st.sampled_from([0, 1])
NAMES = st.sampled_from(["North shed", "Cellar", "Tent", "Polytunnel"])
HOURS = st.integers(0, 5)  # few, so that phones often write at the same moment


class TwoPhones(RuleBasedStateMachine):
    rows = Bundle("rows")

    @initialize()
    def a_farm_with_two_phones(self) -> None:
        self.farm = new_farm()
        self.phones = [phone_of(new_member(self.farm)) for _ in range(2)]

    @rule(target=rows, who=PHONES, name=NAMES, hour=HOURS)
    def add(self, who: int, name: str, hour: int) -> str:
        row = str(uuid4())
        self._change(who, "add", row, {"name": name, "note": ""}, hour)
        return row

    @rule(who=PHONES, row=rows, name=NAMES, hour=HOURS)
    def rename(self, who: int, row: str, name: str, hour: int) -> None:
        self._if_seen(who, "patch", row, {"name": name}, hour)

    @rule(who=PHONES, row=rows, note=st.sampled_from(["damp", "dry"]), hour=HOURS)
    def write_note(self, who: int, row: str, note: str, hour: int) -> None:
        self._if_seen(who, "patch", row, {"note": note}, hour)

    @rule(who=PHONES, row=rows)
    def blank_the_name(self, who: int, row: str) -> None:
        self._if_seen(who, "patch", row, {"name": "  "}, 0)  # the server refuses this one

    @rule(who=PHONES, row=rows, hour=HOURS)
    def delete(self, who: int, row: str, hour: int) -> None:
        self._if_seen(who, "delete", row, {}, hour)

    @rule(who=PHONES, row=rows, hour=HOURS)
    def restore(self, who: int, row: str, hour: int) -> None:
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

    def _if_seen(self, who: int, verb: str, row: str, fields: dict[str, Any], hour: int) -> None:
        if row in self.phones[who].view():
            self._change(who, verb, row, fields, hour)

    def _change(self, who: int, verb: str, row: str, fields: dict[str, Any], hour: int) -> None:
        phone = self.phones[who]
        phone.change(verb, "place", row, fields, at=EPOCH_START.replace(hour=hour))
        seen = phone.view()[row]  # I8: what was just saved is in the view
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

    def _no_resurrection(self, server: dict[str, Any]) -> None:  # I9
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
