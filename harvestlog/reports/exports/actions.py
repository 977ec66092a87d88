"""All records of a farm in one file, for whoever owns it: to keep, to move, to reckon with elsewhere."""

from collections.abc import Callable, Sequence
from tempfile import TemporaryFile
from typing import IO, Literal

from django.db import transaction
from django.utils import timezone

from harvestlog.accounts.access import Member, still_member
from harvestlog.accounts.deeds import note
from harvestlog.accounts.models import Farm
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
    """An open file with every record, as one moment saw them; the deed is noted with it. Raises Refused (403).

    The farm's row is held locked meanwhile, as it is by everybody who writes its records: nobody can in between.
    """
    file = TemporaryFile()  # noqa: SIM115  # whoever answers with it closes it
    with transaction.atomic():
        farm = Farm.objects.select_for_update().get(pk=by.farm_id)
        today = still_member(by)
        if today is None or today.role != "owner":
            raise not_allowed()
        package = Package(name="harvestlog-records", title=farm.name, description=ABOUT, made=timezone.now())
        WRITE[form](file, package, record_tables(by))
        note("records_exported", farm_id=farm.id, by=by.person, about=farm.id, form=form)
    file.seek(0)
    return file
