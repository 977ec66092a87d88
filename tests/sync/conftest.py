import pytest

from harvestlog.accounts.models import Farm
from tests.sync.farms import new_farm, new_member, phone_of
from tests.sync.phone import Phone


@pytest.fixture
def farm(db: None) -> Farm:
    return new_farm()


@pytest.fixture
def phone(farm: Farm) -> Phone:
    """The owner's phone."""
    return phone_of(new_member(farm))


@pytest.fixture
def second(farm: Farm, phone: Phone) -> Phone:
    """Another phone of the same farm."""
    return phone_of(new_member(farm))
