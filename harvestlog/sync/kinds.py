"""The one table of record kinds. A new kind is a model, a form and a row here."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from harvestlog.accounts.records import FarmRecord
from harvestlog.accounts.wire import Strict
from harvestlog.blocks import forms as block_forms
from harvestlog.blocks import models as block_models
from harvestlog.harvests.forms import PickForm
from harvestlog.harvests.models import Pick
from harvestlog.keeping import forms as kept_forms
from harvestlog.keeping import models as kept
from harvestlog.photos.forms import PhotoForm
from harvestlog.photos.models import Photo

OWNER = frozenset({"owner"})
OWNER_AND_PICKER = frozenset({"owner", "picker"})

DRY_BASIS = frozenset(
    {"dry_basis", "dry_g", "moisture_pct", "moisture_low_pct", "moisture_high_pct", "wet_g"}
)
TEMPERATURES = frozenset({"temp_low_c", "temp_high_c"})
TIMES = frozenset({"at", "until"})
WET, DRIED = frozenset({"wet_g", "typed"}), frozenset({"dry_g", "dry_typed"})
WEIGHED, DRAINED = frozenset({"mass_g", "typed"}), frozenset({"drained_g", "typed"})
MUSHROOMS = WEIGHED | {"mushroom", "fresh_water_low_pct", "fresh_water_high_pct"}
STEEPING = frozenset({"steep_low_days", "steep_high_days"})
TARGET = frozenset({"target_low_pct", "target_high_pct"})


@dataclass(frozen=True)
class Kind:
    """One kind of record: how it is kept, what is acceptable, which roles may write it."""

    name: str
    model: type[FarmRecord]
    form: type[Strict]
    writers: frozenset[str]
    # Fields that mean something only together: of two phones' versions one stands whole.
    together: tuple[frozenset[str], ...] = ()

    @property
    def fields(self) -> frozenset[str]:
        return frozenset(self.form.model_fields)

    def written(self, row: FarmRecord) -> dict[str, Any]:
        """The row's own fields as they cross the wire."""
        values = {name: getattr(row, name) for name in self.form.model_fields}
        return self.form.model_construct(**values).model_dump(mode="json")


KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("supplier", block_models.Supplier, block_forms.SupplierForm, OWNER),
        Kind("variety", block_models.Variety, block_forms.VarietyForm, OWNER, (TEMPERATURES,)),
        Kind("place", block_models.Place, block_forms.PlaceForm, OWNER),
        Kind("delivery", block_models.Delivery, block_forms.DeliveryForm, OWNER),
        Kind("block", block_models.Block, block_forms.BlockForm, OWNER, (DRY_BASIS,)),
        Kind("happening", block_models.Happening, block_forms.HappeningForm, OWNER_AND_PICKER, (TIMES,)),
        Kind("pick", Pick, PickForm, OWNER_AND_PICKER, (WET, DRIED)),
        Kind("photo", Photo, PhotoForm, OWNER_AND_PICKER),
        Kind("reading", kept.Reading, kept_forms.ReadingForm, OWNER_AND_PICKER),
        Kind("drying", kept.Drying, kept_forms.DryingForm, OWNER_AND_PICKER, (DRIED,)),
        Kind("drying_part", kept.DryingPart, kept_forms.DryingPartForm, OWNER_AND_PICKER, (WET,)),
        Kind(
            "drying_weighing",
            kept.DryingWeighing,
            kept_forms.DryingWeighingForm,
            OWNER_AND_PICKER,
            (WEIGHED,),
        ),
        Kind("jar", kept.Jar, kept_forms.JarForm, OWNER_AND_PICKER, (DRIED,)),
        Kind("taking", kept.Taking, kept_forms.TakingForm, OWNER_AND_PICKER, (WEIGHED,)),
        Kind("trial", kept.Trial, kept_forms.TrialForm, OWNER_AND_PICKER, (DRIED,)),
        Kind(
            "trial_weighing", kept.TrialWeighing, kept_forms.TrialWeighingForm, OWNER_AND_PICKER, (DRAINED,)
        ),
        Kind(
            "extract", kept.Extract, kept_forms.ExtractForm, OWNER_AND_PICKER, (MUSHROOMS, STEEPING, TARGET)
        ),
        Kind("extract_step", kept.ExtractStep, kept_forms.ExtractStepForm, OWNER_AND_PICKER),
    )
}
