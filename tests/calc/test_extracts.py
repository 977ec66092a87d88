"""Spirit and water: OIML R 22 rows first, one printed gravity of another table, then mixed, diluted and brought up again."""

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from harvestlog.calc import air, errors, extracts
from harvestlog.calc.extracts import TwoStage, density_kg_m3, dual_extract, mix, spirit_for, water_for
from tests.calc.worked import check_call, examples

named = SimpleNamespace(**(vars(errors) | vars(air) | vars(extracts)))
strengths = st.floats(0, 100)
volumes = st.floats(1, 20000)
batches = st.builds(
    TwoStage,
    spirit_ml=st.floats(200, 3000),
    spirit_pct_vol=st.floats(60, 96),
    water_stage_ml=st.floats(0, 3000),
    dry_g=st.floats(1, 50),
    fresh_g=st.floats(0, 300),
)


def from_json(batch, **target):
    ends: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value for name, value in batch.items()
    }
    return dual_extract(TwoStage(**ends), **target)


@pytest.mark.parametrize("case", examples("extracts"))
def test_worked_example(case):
    check_call(case, vars(extracts) | {"dual_extract": from_json}, named)


def test_specific_gravity_of_alcohol_is_the_one_a_regulation_prints():
    """27 CFR 19.1, "proof gallon": alcohol has a specific gravity of 0.7939 at 60 °F against water at 60 °F."""
    sixty_f = (60 - 32) / 1.8
    assert math.isclose(density_kg_m3(1, sixty_f) / density_kg_m3(0, sixty_f), 0.7939, abs_tol=1e-4)


@pytest.mark.parametrize("temp_c", range(0, 41, 5))
def test_density_falls_as_the_alcohol_rises(temp_c):
    densities = [density_kg_m3(percent / 100, temp_c) for percent in range(101)]
    assert densities == sorted(densities, reverse=True)


@given(strengths)
def test_strength_there_and_back(pct):
    fraction = extracts.mass_fraction_from_strength(pct)
    assert math.isclose(extracts.strength_from_mass_fraction(fraction), pct, abs_tol=1e-9)


@given(st.lists(st.tuples(volumes, strengths), min_size=1, max_size=5))
def test_alcohol_and_mass_are_all_there_after_mixing(parts):
    volume, pct = mix(parts)
    masses = [v * density_kg_m3(extracts.mass_fraction_from_strength(s), 20) for v, s in parts]
    mixed = volume * density_kg_m3(extracts.mass_fraction_from_strength(pct), 20)
    assert math.isclose(mixed, sum(masses), rel_tol=1e-9)
    assert math.isclose(volume * pct, sum(v * s for v, s in parts), rel_tol=1e-9, abs_tol=1e-6)


@given(volumes, st.floats(50, 100), volumes)
def test_spirit_and_water_shrink_by_less_than_4_percent(spirit, pct, water):
    """From 50 % up; much water with little spirit even grows by 0.01 %, and 20 %vol with as much water by 0.1 %."""
    assert 0.963 < mix([(spirit, pct), (water, 0)])[0] / (spirit + water) < 1.0005


@given(volumes, st.floats(1, 100), st.floats(0.5, 1))
def test_diluted_to_a_target_the_mix_has_it(volume, pct, part):
    target = pct * part
    assert math.isclose(mix([(volume, pct), (water_for(volume, pct, target), 0)])[1], target, rel_tol=1e-9)


@given(volumes, st.floats(0, 60), st.floats(70, 96), st.floats(0.01, 0.99))
def test_brought_up_to_a_target_the_mix_has_it(volume, pct, spirit_pct, part):
    target = pct + part * (spirit_pct - pct)
    added = spirit_for(volume, pct, spirit_pct, target)
    assert math.isclose(mix([(volume, pct), (added, spirit_pct)])[1], target, rel_tol=1e-9)


@given(volumes, st.floats(50, 96), st.floats(10, 40))
def test_more_water_is_needed_than_the_volumes_say(volume, pct, target):
    assert water_for(volume, pct, target) > volume * (pct / target - 1)


@given(batches)
def test_estimates_lie_within_their_ends(batch):
    try:
        expected = dual_extract(batch)
    except extracts.NothingToStrain:
        return
    for estimate in list(vars(expected).values())[:-1]:
        assert estimate.low - 1e-9 <= estimate.value <= estimate.high + 1e-9
        assert estimate.n == 0
    assert expected.steeped_pct_vol.high <= batch.spirit_pct_vol + 1e-9


@given(batches, st.floats(3, 9))
def test_spirit_still_needed_brings_the_joined_extract_to_the_setting(batch, waters):
    expected = dual_extract(
        replace(batch, water_stage_ml=waters * batch.spirit_ml, strained_ml=batch.spirit_ml)
    )
    assume(expected.spirit_still_ml.value > 0)
    joined = (expected.joined_ml.value, expected.joined_pct_vol.value)
    _, pct = mix([joined, (expected.spirit_still_ml.value, batch.spirit_pct_vol)])
    assert math.isclose(pct, 25, rel_tol=1e-9)


@given(batches)
def test_water_of_fresh_mushrooms_makes_it_weaker(batch):
    assume(batch.fresh_g > 1)
    try:
        expected = dual_extract(batch)
    except extracts.NothingToStrain:
        return
    assert expected.steeped_pct_vol.high < batch.spirit_pct_vol


def test_proof_typed_for_percent_is_asked_back_in_words():
    with pytest.raises(
        extracts.StrengthOutOfRange,
        match=r"The strength is 151 %: .* If the label says proof, write 151 proof",
    ):
        mix([(1000, 151)])


def test_a_figure_alone_is_asked_back_in_words():
    with pytest.raises(
        extracts.NotAStrength, match='"80" may be % by volume or proof: write 80 % or 80 proof'
    ):
        extracts.read_strength("80")


def test_formula_cannot_be_changed_by_accident():
    with pytest.raises(AttributeError):
        extracts.OIML_R22.a = ()  # type: ignore[misc]
