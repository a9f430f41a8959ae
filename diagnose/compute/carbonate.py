"""Calcite in water: the carbonate equilibria, solved for a water that is heated.

What a boiler lays down is decided here. Three cases must not be mixed up:

* closed, no gas lost: on heating the pH falls a little and calcite gets less soluble;
* at a fixed carbon dioxide pressure, open air's or more: hotter water holds less calcite;
* in pure water with hardly any carbon dioxide: hotter water holds MORE calcite.

Equilibrium constants: L. N. Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011
(carbonic acid, calcite and the calcium pairs), with the magnesium and sulphate pairs and the
ion sizes as in the database of PHREEQC version 3 (US Geological Survey, public domain). The
calcite constant was fitted from 0 to 90 °C; above that it is extrapolated, as PHREEQC does.
Activity: A. H. Truesdell and B. F. Jones, J. Res. US Geol. Survey 2 (1974) 233; dielectric
constant of water: C. G. Malmberg and A. A. Maryott, J. Res. NBS 56 (1956) 1.
Amounts are mol in a kg of water; fit for fresh water, to about 0.1 mol/kg.
"""

from __future__ import annotations

from collections.abc import Callable
from math import log, log10, sqrt
from typing import NamedTuple

from diagnose.compute.steam import ZERO_C, water_density_kg_m3

FITTED_TO_C = 90.0
AIR_LOG_PCO2 = -3.4
"""Carbon dioxide in open air, as the logarithm of atmospheres."""

_LN10 = log(10.0)
_R_KCAL = 1.987204e-3
_ROUNDS = 60
_CLOSE = 1e-12

# log10 K = a + b T + c / T + d log10 T + e / T**2 + f T**2, T in kelvin.
_FITS = {
    "calcite": (-171.9065, -0.077993, 2839.319, 71.595, 0.0, 0.0),
    "water": (293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-5),
    "HCO3": (107.8871, 0.03252849, -5151.79, -38.92561, 563713.9, 0.0),
    "CO2": (464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9, 0.0),
    "CO2 gas": (10.5624, -2.3547e-2, -3972.8, 0.0, 5.8746e5, 1.9194e-5),
    "CaCO3": (-1228.732, -0.299440, 35512.75, 485.818, 0.0, 0.0),
    "CaHCO3": (1317.0071, 0.34546894, -39916.84, -517.70761, 563713.9, 0.0),
    "MgCO3": (0.9910, 0.00667, 0.0, 0.0, 0.0, 0.0),
    "MgHCO3": (48.6721, 0.03252849, -2614.335, -18.00263, 563713.9, 0.0),
}
# log10 K at 25 °C and heat of reaction, kcal/mol.
_HEATS = {"CaSO4": (2.25, 1.325), "MgSO4": (2.37, 4.550), "MgOH": (-11.44, 15.952)}
# charge, ion size in angstrom, linear term.
_IONS = {
    "H": (1, 9.0, 0.0), "OH": (1, 3.5, 0.0), "HCO3": (1, 5.4, 0.0), "CO3": (2, 5.4, 0.0),
    "Ca": (2, 5.0, 0.165), "Mg": (2, 5.5, 0.20), "SO4": (2, 5.0, -0.04),
    "CaHCO3": (1, 6.0, 0.0), "MgHCO3": (1, 4.0, 0.0), "MgOH": (1, 6.5, 0.0),
}  # fmt: skip


class Solution(NamedTuple):
    """Totals of a water, mol/kg; alkalinity in equivalents/kg. ``other`` is the strength
    that ions outside the equilibria add: half the sum of mol times charge squared."""

    calcium: float
    magnesium: float
    sulphate: float
    alkalinity: float
    other: float = 0.0

    def less_calcite(self, mol: float) -> Solution:
        """Return what is left when ``mol`` of calcite has settled."""
        return self._replace(calcium=self.calcium - mol, alkalinity=self.alkalinity - 2.0 * mol)


class WaterState(NamedTuple):
    """A water at one temperature: pH, total inorganic carbon (mol/kg), saturation index."""

    ph: float
    carbon: float
    saturation_index: float


def log_k(name: str, temperature_c: float) -> float:
    """Return log10 of an equilibrium constant; ``calcite`` is extrapolated above 90 °C."""
    kelvin = temperature_c + ZERO_C
    if name in _HEATS:
        at_25, heat = _HEATS[name]
        return at_25 - heat / (_R_KCAL * _LN10) * (1.0 / kelvin - 1.0 / 298.15)
    a, b, c, d, e, f = _FITS[name]
    return a + b * kelvin + c / kelvin + d * log10(kelvin) + e / kelvin**2 + f * kelvin**2


def at_ph(water: Solution, temperature_c: float, ph: float) -> WaterState:
    """Return the state of a water whose pH and alkalinity were measured at this temperature."""
    return _settle(water, temperature_c, lambda mix: (ph, mix.carbonate_by_alkalinity(10.0**-ph)))


def with_carbon(water: Solution, temperature_c: float, carbon: float) -> WaterState:
    """Return the state of a closed water holding ``carbon`` mol/kg of inorganic carbon."""

    def solve(mix: _Mix) -> tuple[float, float]:
        ph = _ph_of(lambda h: mix.alkalinity(h, carbon / mix.carbon_share(h)) - water.alkalinity)
        return ph, carbon / mix.carbon_share(10.0**-ph)

    return _settle(water, temperature_c, solve)


def with_gas(water: Solution, temperature_c: float, log_pco2: float = AIR_LOG_PCO2) -> WaterState:
    """Return the state of a water open to carbon dioxide at 10**log_pco2 atmospheres."""
    dissolved: float = 10.0 ** (log_k("CO2 gas", temperature_c) + log_pco2)

    def solve(mix: _Mix) -> tuple[float, float]:
        def carbonate(h: float) -> float:
            return dissolved / (mix.k["CO2"] * h * h)

        ph = _ph_of(lambda h: mix.alkalinity(h, carbonate(h)) - water.alkalinity)
        return ph, carbonate(10.0**-ph)

    return _settle(water, temperature_c, solve)


def settles_closed(water: Solution, temperature_c: float, carbon: float) -> float:
    """Return the calcite that settles, mol/kg, when no gas is lost; 0 if none does."""
    return _settled(
        water, lambda x: with_carbon(water.less_calcite(x), temperature_c, carbon - x), carbon
    )


def settles_vented(water: Solution, temperature_c: float, log_pco2: float = AIR_LOG_PCO2) -> float:
    """Return the calcite that settles, mol/kg, when carbon dioxide leaves to a fixed pressure."""
    return _settled(water, lambda x: with_gas(water.less_calcite(x), temperature_c, log_pco2))


def solubility(temperature_c: float, log_pco2: float) -> float:
    """Return the calcite that pure water dissolves at a fixed carbon dioxide pressure, mol/kg."""

    def excess(mol: float) -> float:
        water = Solution(calcium=mol, magnesium=0.0, sulphate=0.0, alkalinity=2.0 * mol)
        return with_gas(water, temperature_c, log_pco2).saturation_index

    return _root(excess, 1e-7, 0.05)


class _Mix:
    """Constants and activity coefficients at one temperature, with the free ions so far.

    While the free calcium, magnesium and sulphate are held, total carbon and alkalinity are
    straight lines in the carbonate activity; `_settle` updates the free ions in turn.
    """

    def __init__(self, water: Solution, temperature_c: float) -> None:
        self.water = water
        self.k: dict[str, float] = {
            name: 10.0 ** log_k(name, temperature_c) for name in (*_FITS, *_HEATS)
        }
        self.debye = _debye(temperature_c)
        self.calcium, self.magnesium, self.sulphate = water.calcium, water.magnesium, water.sulphate
        strength = 2.0 * (self.calcium + self.magnesium + self.sulphate)
        self.weigh(strength + water.alkalinity / 2.0 + water.other)

    def weigh(self, strength: float) -> None:
        """Set the activity coefficients for an ionic strength."""
        a, b = self.debye
        root = sqrt(max(strength, 0.0))
        self.gamma: dict[str, float] = {
            ion: 10.0 ** (-a * z * z * root / (1.0 + b * size * root) + line * strength)
            for ion, (z, size, line) in _IONS.items()
        }
        self.neutral: float = 10.0 ** (0.1 * strength)

    def pairs(self, h: float) -> tuple[float, float]:
        """Return bicarbonate-like and carbonate-like amounts for a carbonate activity of 1."""
        k, gamma = self.k, self.gamma
        calcium, magnesium = self.calcium * gamma["Ca"], self.magnesium * gamma["Mg"]
        single = k["HCO3"] * h / gamma["HCO3"]
        single += calcium * k["CaHCO3"] * h / gamma["CaHCO3"]
        single += magnesium * k["MgHCO3"] * h / gamma["MgHCO3"]
        double = 1.0 / gamma["CO3"]
        double += (calcium * k["CaCO3"] + magnesium * k["MgCO3"]) / self.neutral
        return single, double

    def carbon_share(self, h: float) -> float:
        """Return the total carbon for a carbonate activity of 1."""
        return sum(self.pairs(h)) + self.k["CO2"] * h * h / self.neutral

    def surplus(self, h: float) -> float:
        """Return hydroxide, free and with magnesium, less hydrogen ions."""
        k, gamma = self.k, self.gamma
        with_magnesium = self.magnesium * gamma["Mg"] * k["MgOH"] / (h * gamma["MgOH"])
        return k["water"] / (h * gamma["OH"]) + with_magnesium - h / gamma["H"]

    def alkalinity(self, h: float, carbonate: float) -> float:
        """Return the alkalinity at a hydrogen and a carbonate activity."""
        single, double = self.pairs(h)
        return carbonate * (single + 2.0 * double) + self.surplus(h)

    def carbonate_by_alkalinity(self, h: float) -> float:
        """Return the carbonate activity that makes up the alkalinity at this pH."""
        single, double = self.pairs(h)
        return max(1e-30, (self.water.alkalinity - self.surplus(h)) / (single + 2.0 * double))

    def update(self, h: float, carbonate: float) -> float:
        """Free the ions anew and return how far calcium and strength moved."""
        k, gamma = self.k, self.gamma
        before = self.calcium + self.magnesium + self.sulphate
        sulphate = self.sulphate * gamma["SO4"]
        held_ca, held_mg = (
            1.0
            + gamma[ion]
            * (
                carbonate
                * (k[f"{ion}CO3"] / self.neutral + k[f"{ion}HCO3"] * h / gamma[f"{ion}HCO3"])
                + sulphate * k[f"{ion}SO4"] / self.neutral
            )
            for ion in ("Ca", "Mg")
        )
        held_mg += gamma["Mg"] * k["MgOH"] / (h * gamma["MgOH"])
        self.calcium, self.magnesium = self.water.calcium / held_ca, self.water.magnesium / held_mg
        drawn = self.calcium * gamma["Ca"] * k["CaSO4"] + self.magnesium * gamma["Mg"] * k["MgSO4"]
        self.sulphate = self.water.sulphate / (1.0 + drawn * gamma["SO4"] / self.neutral)
        single, _ = self.pairs(h)
        charged = carbonate * (single + 4.0 / gamma["CO3"]) + h + self.k["water"] / h
        doubly = 4.0 * (self.calcium + self.magnesium + self.sulphate)
        self.weigh((charged + doubly) / 2.0 + self.water.other)
        return abs(self.calcium + self.magnesium + self.sulphate - before)


def _settle(
    water: Solution, temperature_c: float, solve: Callable[[_Mix], tuple[float, float]]
) -> WaterState:
    mix = _Mix(water, temperature_c)
    ph, carbonate = solve(mix)
    for _ in range(_ROUNDS):
        moved = mix.update(10.0**-ph, carbonate)
        before, (ph, carbonate) = ph, solve(mix)
        if moved < _CLOSE and abs(ph - before) < 1e-9:
            break
    product = max(mix.calcium * mix.gamma["Ca"] * carbonate, 1e-30)
    carbon = carbonate * mix.carbon_share(10.0**-ph)
    return WaterState(ph, carbon, log10(product) - log_k("calcite", temperature_c))


def _settled(water: Solution, state: Callable[[float], WaterState], carbon: float = 1.0) -> float:
    if water.calcium <= 0.0 or state(0.0).saturation_index <= 0.0:
        return 0.0
    most = min(water.calcium, water.alkalinity / 2.0, carbon) * (1.0 - 1e-9)
    return _root(lambda x: state(x).saturation_index, 0.0, most)


def _ph_of(surplus: Callable[[float], float]) -> float:
    return _root(lambda ph: surplus(10.0**-ph), 2.0, 13.5)


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a monotonic function crosses 0 (Illinois false position, else bisection)."""
    at_low, at_high = function(low), function(high)
    if at_low * at_high > 0.0:
        return low if abs(at_low) < abs(at_high) else high
    side = 0
    for round_ in range(200):
        if round_ % 3 == 2:
            middle, side = (low + high) / 2.0, 0
        else:
            middle = (low * at_high - high * at_low) / (at_high - at_low)
        value = function(middle)
        if value == 0.0 or high - low < 1e-13 * max(1.0, abs(high)):
            return middle
        if value * at_high > 0.0:
            high, at_high = middle, value
            at_low, side = (at_low / 2.0, -1) if side == -1 else (at_low, -1)
        else:
            low, at_low = middle, value
            at_high, side = (at_high / 2.0, 1) if side == 1 else (at_high, 1)
    return (low + high) / 2.0


def _debye(temperature_c: float) -> tuple[float, float]:
    """Return the Debye-Hückel A and B (per angstrom) of water at ``temperature_c``."""
    t = temperature_c
    kelvin = t + ZERO_C
    dielectric = 87.740 - 0.40008 * t + 9.398e-4 * t * t - 1.410e-6 * t**3
    root_density = sqrt(water_density_kg_m3(t) / 1000.0)
    product = dielectric * kelvin
    return 1.82483e6 * root_density / product**1.5, 50.2916 * root_density / sqrt(product)
