"""Spirit and water: density, strength by volume and by mass, mixing with contraction, diluting one with the other."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from harvestlog.calc.acceptable import above_zero, result, shown, zero_or_more
from harvestlog.calc.air import temperature
from harvestlog.calc.errors import Unacceptable


@dataclass(frozen=True, kw_only=True)
class DensityFormula:
    """Density of ethanol and water in kg/m3 from mass fraction p and u = t - 20 °C: the a stand for p^0, p^1, ...;
    the b for u, u², ...; row i of c for u^i times p, p², ...
    """

    a: tuple[float, ...]
    b: tuple[float, ...]
    c: tuple[tuple[float, ...], ...]
    coldest_c: float
    hottest_c: float


# International Alcoholometric Tables, OIML R 22 (1975); the same formula stands in Directive 76/766/EEC. Public copies
# differ in C1,1 (...530087 or ...433) and C2,3 (...993 or ...933): below 1e-9 kg/m3, which no figure here shows.
# fmt: off
OIML_R22 = DensityFormula(
    a=(
        998.20123, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388, 306287.4042,
        -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
    ),
    b=(-0.20618513, -0.0052682542, 3.6130013e-05, -3.8957702e-07, 7.169354e-09, -9.9739231e-11),
    c=(
        (0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
         -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
         1285.617841998974),
        (-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
         109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783),
        (-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922,
         -2.895696483903638, 4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812),
        (4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06),
        (-2.788074354782409e-08, 1.345612883493354e-08),
    ),
    coldest_c=-20.0,
    hottest_c=40.0,
)
# fmt: on
SLOPE_AT_20 = tuple(power * a for power, a in enumerate(OIML_R22.a) if power)  # of the density against p

PROOF = frozenset({"proof", "usproof"})
BY_VOLUME = frozenset({"%", "%vol", "vol%", "%abv", "abv", "%v/v", "%alc/vol", "%byvolume", "percent"})

Liquid = tuple[float, float]  # volume in mL and strength in % by volume, both at 20 °C


class StrengthOutOfRange(Unacceptable):
    """A strength above 100 % by volume, or a mass fraction above 1."""


class NotAStrength(Unacceptable):
    """A typed strength that cannot be read, or does not say whether it is % by volume or proof."""


class StrengthOutOfReach(Unacceptable):
    """A strength that cannot be had by adding this water or this spirit."""


def density_kg_m3(mass_fraction: float, temp_c: float) -> float:
    """Density of ethanol and water in kg/m3, from the ethanol's share of the mass, 0 to 1, at a temperature in °C.

    Valid from -20 to 40 °C where it is liquid. Source: OIML R 22.
    Raises NotANumber, BelowZero, StrengthOutOfRange, TemperatureOutOfRange.
    """
    p, formula = zero_or_more("mass fraction", mass_fraction), OIML_R22
    if p > 1:
        raise StrengthOutOfRange(
            f"The mass fraction is {shown(mass_fraction)}: it lies from 0 to 1, all ethanol."
        )
    u = temperature("temperature", temp_c, formula.coldest_c, formula.hottest_c) - 20
    at_20 = _polynomial(formula.a, p)
    of_water = u * _polynomial(formula.b, u)
    crossed = sum(p * _polynomial(row, p) * u**power for power, row in enumerate(formula.c, start=1))
    return at_20 + of_water + crossed


def _polynomial(coefficients: Sequence[float], x: float) -> float:
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value


def strength_from_mass_fraction(mass_fraction: float) -> float:
    """Strength in % by volume at 20 °C, from the ethanol's share of the mass, 0 to 1.

    Source: volume of the ethanol alone over volume of the whole. Raises as density_kg_m3.
    """
    return 100 * mass_fraction * density_kg_m3(mass_fraction, 20) / density_kg_m3(1, 20)


def mass_fraction_from_strength(strength_pct_vol: float) -> float:
    """The ethanol's share of the mass, 0 to 1, from the strength in % by volume at 20 °C.

    Source: strength_from_mass_fraction, solved by Newton's steps; eight are twice what any strength takes.
    Raises NotANumber, BelowZero, StrengthOutOfRange.
    """
    wanted = strength("strength", strength_pct_vol) / 100 * density_kg_m3(1, 20)
    p = strength_pct_vol / 100
    for _ in range(8):
        density = _polynomial(OIML_R22.a, p)
        p -= (p * density - wanted) / (density + p * _polynomial(SLOPE_AT_20, p))
    return min(1.0, max(0.0, p))


def strength(label: str, value_pct_vol: object) -> float:
    checked = zero_or_more(label, value_pct_vol)
    if checked > 100:
        proof = f" If the label says proof, write {shown(value_pct_vol)} proof." if checked <= 200 else ""
        raise StrengthOutOfRange(
            f"The {label} is {shown(value_pct_vol)} %: it cannot be above 100 % by volume.{proof}"
        )
    return checked


def strength_from_proof(proof: float) -> float:
    """Strength in % by volume from US proof: half of it. The former British proof is another scale.

    Valid from 0 to 200. Source: 27 CFR parts 5 and 19 (wording from memory). Raises NotANumber, BelowZero, StrengthOutOfRange.
    """
    checked = zero_or_more("proof", proof)
    if checked > 200:
        raise StrengthOutOfRange(
            f"The proof is {shown(proof)}: 200 proof is pure alcohol, it cannot be above."
        )
    return checked / 2


def read_strength(typed: str) -> float:
    """Strength in % by volume from what is typed: "95 %", "40% vol", "37,5 % abv", "190 proof".

    A figure alone is asked back, as 80 may be either; above 100 it can only be proof, above 200 neither.
    Source: our rule. Raises NotAStrength, StrengthOutOfRange.
    """
    found = re.fullmatch(r"([0-9]{1,3}(?:[.,][0-9]{1,3})?)([^0-9]*)", typed.strip().lower())
    if not found:
        raise NotAStrength(f'"{typed}" is no strength: write it like 40 % or 80 proof.')
    figure, unit = float(found[1].replace(",", ".")), re.sub(r"[\s.]", "", found[2])
    if unit in PROOF:
        return strength_from_proof(figure)
    if unit in BY_VOLUME:
        return strength("strength", figure)
    if unit:
        raise NotAStrength(f'"{typed}" is no strength known here: write it in % by volume or in US proof.')
    raise NotAStrength(_which(typed, found[1], figure))


def _which(typed: str, written: str, figure: float) -> str:
    if figure > 200:
        return f'"{typed}" is no strength: pure alcohol is 100 % by volume, or 200 proof.'
    if figure > 100:
        return f'"{typed}" is above 100 and can only be proof: write {written} proof.'
    return f'"{typed}" may be % by volume or proof: write {written} % or {written} proof.'


def mix(parts: Sequence[Liquid]) -> Liquid:
    """Volume in mL and strength in % by volume of (volume_ml, strength_pct_vol) parts poured together, all at 20 °C.

    Masses add, volumes do not: spirit and water shrink by up to 3.6 %. Valid for spirit and water, nothing dissolved.
    Source: OIML R 22. Raises NotANumber, BelowZero, IsZero, StrengthOutOfRange.
    """
    weighed = [_weighed(volume, pct) for volume, pct in parts]
    mass = sum(grams for grams, _ in weighed)
    above_zero("volume of the mix", mass)
    fraction = min(1.0, sum(grams * fraction for grams, fraction in weighed) / mass)
    volume = result("volume of the mix", 1000 * mass / density_kg_m3(fraction, 20))
    return volume, strength_from_mass_fraction(fraction)


def _weighed(volume_ml: float, strength_pct_vol: float) -> tuple[float, float]:
    """Grams, and the share of ethanol in them."""
    fraction = mass_fraction_from_strength(strength_pct_vol)
    return zero_or_more("volume", volume_ml) * density_kg_m3(fraction, 20) / 1000, fraction


def water_for(volume_ml: float, strength_pct_vol: float, target_pct_vol: float) -> float:
    """Millilitres of water, at 20 °C, that bring volume_ml of spirit down to the target.

    Valid for a target above 0 and not above the strength; more than the volumes would say. Source: OIML R 22.
    Raises StrengthOutOfReach, NotANumber, BelowZero, IsZero, StrengthOutOfRange.
    """
    target = above_zero("target strength", strength("target strength", target_pct_vol))
    if strength("strength", strength_pct_vol) < target:
        raise StrengthOutOfReach(
            f"Water cannot take {shown(strength_pct_vol)} % up to {shown(target_pct_vol)} %: give a lower target."
        )
    grams, fraction = _weighed(volume_ml, strength_pct_vol)
    wanted = mass_fraction_from_strength(target)
    return result("water", grams * max(0.0, fraction / wanted - 1) / density_kg_m3(0, 20) * 1000)


def spirit_for(
    volume_ml: float, strength_pct_vol: float, spirit_pct_vol: float, target_pct_vol: float
) -> float:
    """Millilitres of spirit, at 20 °C, that bring volume_ml of a weaker liquid up to the target; 0 if it is there.

    Valid for a target below the spirit's strength. Source: OIML R 22.
    Raises StrengthOutOfReach, NotANumber, BelowZero, StrengthOutOfRange, OutOfReach.
    """
    grams, fraction = _weighed(volume_ml, strength_pct_vol)
    wanted = mass_fraction_from_strength(target_pct_vol)
    if fraction >= wanted:
        return 0.0
    spirit = mass_fraction_from_strength(spirit_pct_vol)
    if spirit <= wanted:
        raise StrengthOutOfReach(
            f"Spirit of {shown(spirit_pct_vol)} % cannot take it up to {shown(target_pct_vol)} %: take stronger spirit."
        )
    needed = grams * (wanted - fraction) / (spirit - wanted)
    return result("spirit", needed / density_kg_m3(spirit, 20) * 1000)
