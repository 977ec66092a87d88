"""What a phone may ask for when it has a yield report made."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from harvestlog.accounts.wire import Day, Id, Line, Strict

MOST_DELIVERIES = 500
MOST_PHOTOS = 24  # all of them stand in one PDF


class ReportWanted(Strict):
    """`deliveries`: empty for all of this supplier. `since` and `until` are days of receipt, both included."""

    id: Id
    supplier: Id
    deliveries: Annotated[list[Id], Field(max_length=MOST_DELIVERIES)] = []
    since: Day | None = None
    until: Day | None = None
    photos: Annotated[list[Id], Field(max_length=MOST_PHOTOS)] = []
    zone: Annotated[Line, Field(max_length=60)] = "UTC"

    @model_validator(mode="after")
    def days_run_forwards(self) -> Self:
        if self.since is not None and self.until is not None and self.since > self.until:
            raise ValueError("the days run backwards: swap since and until")
        return self
