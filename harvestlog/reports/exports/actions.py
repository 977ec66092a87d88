"""All records of a farm in one file, for whoever owns it: to keep, to move, to reckon with elsewhere."""

from collections.abc import Callable, Sequence
from tempfile import TemporaryFile
from typing import IO, Literal

from django.db import transaction
from django.utils import timezone

from harvestlog.accounts.access import Member, still_member
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm
from harvestlog.accounts.moment import one_moment
from harvestlog.accounts.refusals import not_allowed
from harvestlog.reports.exports.record_tables import record_tables
from harvestlog.reports.tables import Package, Table, write_json, write_zip

Form = Literal["zip", "json"]
WRITE: dict[Form, Callable[[IO[bytes], Package, Sequence[Table]], None]] = {
    "zip": write_zip,
    "json": write_json,
}
ABOUT = (
    "All records of this farm that are not deleted, one table for each kind. Instants are in UTC. Ids refer to records of "
    "another table here; what they refer to may have been deleted, and so be missing. The pictures are not inside."
)


def export_records(*, by: Member, form: Form) -> IO[bytes]:
    """An open file with every record, as one moment saw them; then the deed is noted. Raises Refused (403).

    It is written before anything is locked: a farm of years takes seconds, and nobody could save meanwhile. Whoever was
    removed by then gets nothing.
    """
    file = TemporaryFile()  # noqa: SIM115  # whoever answers with it closes it
    with one_moment():
        farm = Farm.objects.get(pk=by.farm_id)
        package = Package(name="harvestlog-records", title=farm.name, description=ABOUT, made=timezone.now())
        WRITE[form](file, package, record_tables(by))
    _note_export(by, form)
    file.seek(0)
    return file


@transaction.atomic
def _note_export(by: Member, form: Form) -> None:
    Farm.objects.select_for_update().get(pk=by.farm_id)  # a removal that is under way is waited for
    today = still_member(by)
    if today is None or today.role != "owner":
        raise not_allowed()
    note("records_exported", farm_id=by.farm_id, by=by.person, about=by.farm_id, form=form)
