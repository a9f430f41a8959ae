"""A hydraulic model of the puck: which way, and roughly how far, a change moves a shot.

Darcy's law for slow flow through a packed bed, with the Kozeny-Carman relation
for how grain size and open space set the permeability:

    flow = permeability x area x pressure / (viscosity x depth)
    permeability = porosity^3 x grain^2 / (180 x (1 - porosity)^2)

Limits.  It compares two states of one puck; it does not foretell a shot from
grain size: plain Kozeny-Carman from dry sizes disagreed with measurement
(Corrochano et al., J. Food Eng. 150, 2015), and the permeabilities measured
there, 1e-14 to 1e-13 m2, would flow faster than real shots.  It takes the flow
as even: it knows no channels, so it misses that too fine a grind extracts less
(Cameron et al., Matter 2, 2020).  It holds the bed still: real ones swell, shed
fines and are squeezed by pressure, so pressure does less than in proportion.
It leaves out the filling of the dry bed.  Nothing in it was fitted to shots.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .errors import ComputeError, positive, within
from .estimate import Estimate

TAMPED_DENSITY_G_ML = 0.45
"""Dry tamped coffee, from memory; 0.35 to 0.55 is met.  Cancels in comparisons."""

KOZENY_CARMAN = 180.0
WATER_DENSITY_KG_M3 = 963.0
"""Water at 93 degrees C (IAPWS), for the Reynolds number only."""

PASCAL_PER_BAR = 1e5
WATER_C = (0.0, 110.0)
_VISCOSITY_PARTS = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))

PRESSURE_POWER = (0.5, 1.0)
"""Flow goes with pressure to this power: 1 in Darcy's rigid bed; about one half
is reported for real pucks, which pressure squeezes (read second-hand only)."""

DOSE_POWER = (1.0, 2.0)
"""Shot time goes with dose to this power: 1 from the depth of the bed, towards 2
where a fuller basket is also squeezed harder (the upper end: common practice)."""


@dataclass(frozen=True, slots=True)
class Puck:
    """One state of the puck; grain and porosity are effective, not measured, values."""

    dose_g: float
    basket_mm: float = 58.0
    pressure_bar: float = 9.0
    temperature_c: float = 93.0
    grain_um: float = 20.0
    porosity: float = 0.2

    def __post_init__(self) -> None:
        for name, unit in (("dose_g", "g"), ("basket_mm", "mm"), ("pressure_bar", "bar")):
            positive(name.rsplit("_", 1)[0], getattr(self, name), unit)
        positive("grain size", self.grain_um, "um")
        within("water temperature", self.temperature_c, *WATER_C, "degrees C")
        if not 0 < within("porosity", self.porosity, 0, 1) < 1:
            raise ComputeError("A porosity of 0 or 1 is no packed bed: give a share between them.")


def bed_area_m2(*, basket_mm: float) -> float:
    """Return the area of the bed in m2 from the inside width of the basket."""
    return math.pi / 4 * (positive("basket", basket_mm, "mm") / 1000) ** 2


def bed_depth_mm(
    *, dose_g: float, basket_mm: float, density_g_ml: float = TAMPED_DENSITY_G_ML
) -> float:
    """Return the depth of the tamped bed in mm; straight-walled basket."""
    volume_m3 = positive("dose", dose_g, "g") / positive("density", density_g_ml, "g/ml") * 1e-6
    return 1000 * volume_m3 / bed_area_m2(basket_mm=basket_mm)


def viscosity_pa_s(*, temperature_c: float) -> float:
    """Return the viscosity of liquid water in Pa s, from 0 to 110 degrees C.

    Source: IAPWS SR6-08, Liquid water at 0.1 MPa (Patek et al., J. Phys. Chem.
    Ref. Data 38, 2009); coefficients from memory, checked against IAPWS-97 in
    the tests.  Pressure as in espresso changes it by well under 1 %.
    """
    warmth = within("water temperature", temperature_c, *WATER_C, "degrees C") + 273.15
    return 1e-6 * sum(part * math.pow(warmth / 300, power) for part, power in _VISCOSITY_PARTS)


def permeability_m2(*, grain_um: float, porosity: float) -> float:
    """Return the Kozeny-Carman permeability in m2 (Kozeny 1927, Carman 1937).

    The 180 is Kozeny's constant, about 5, times 36 for the surface of spheres.
    """
    open_share = within("porosity", porosity, 0, 0.999)
    grain = positive("grain size", grain_um, "um") * 1e-6
    return open_share**3 * grain**2 / (KOZENY_CARMAN * (1 - open_share) ** 2)


def darcy_flow_ml_s(
    *,
    permeability_m2: float,
    basket_mm: float,
    depth_mm: float,
    pressure_bar: float,
    temperature_c: float,
) -> float:
    """Return the flow in mL/s through a bed of known permeability (Darcy 1856)."""
    push = positive("pressure", pressure_bar, "bar") * PASCAL_PER_BAR
    drag = viscosity_pa_s(temperature_c=temperature_c) * positive("depth", depth_mm, "mm") / 1000
    area = bed_area_m2(basket_mm=basket_mm)
    return 1e6 * positive("permeability", permeability_m2, "m2") * area * push / drag


def flow_ml_s(puck: Puck) -> float:
    """Return the model's flow in mL/s; only its changes are worth anything."""
    return darcy_flow_ml_s(
        permeability_m2=permeability_m2(grain_um=puck.grain_um, porosity=puck.porosity),
        basket_mm=puck.basket_mm,
        depth_mm=bed_depth_mm(dose_g=puck.dose_g, basket_mm=puck.basket_mm),
        pressure_bar=puck.pressure_bar,
        temperature_c=puck.temperature_c,
    )


def permeability_from_shot_m2(*, puck: Puck, yield_g: float, shot_time_s: float) -> float:
    """Return the permeability in m2 that a shot's average flow amounts to.

    Takes 1 mL of drink for 1 g; the puck's grain and porosity play no part.
    """
    flow = positive("yield", yield_g, "g") / positive("shot time", shot_time_s, "s")
    at_one = darcy_flow_ml_s(
        permeability_m2=1.0,
        basket_mm=puck.basket_mm,
        depth_mm=bed_depth_mm(dose_g=puck.dose_g, basket_mm=puck.basket_mm),
        pressure_bar=puck.pressure_bar,
        temperature_c=puck.temperature_c,
    )
    return flow / at_one


def time_after(*, shot_time_s: float, before: Puck, after: Puck) -> Estimate:
    """Return the shot time in s at the same yield once the puck has changed.

    The value is the plain model's; the span takes in that pressure counts for
    less, and dose for more, than in a rigid bed.
    """
    value = positive("shot time", shot_time_s, "s") * flow_ml_s(before) / flow_ml_s(after)
    fuller = after.dose_g / before.dose_g
    push = after.pressure_bar / before.pressure_bar
    rest = value * push / fuller
    spans = [
        rest * math.pow(fuller, dose_power) / math.pow(push, push_power)
        for dose_power in DOSE_POWER
        for push_power in PRESSURE_POWER
    ]
    low, high = min(value, *spans), max(value, *spans)
    return Estimate(value, low, high, "s", "from a model of even flow through the coffee")


def reynolds(*, flow_ml_s: float, basket_mm: float, grain_um: float, temperature_c: float) -> float:
    """Return the Reynolds number of the flow past a grain; Darcy's law needs under about 1.

    Superficial velocity x grain x density / viscosity; Kozeny-Carman is stated
    to hold up to about 1.
    """
    speed = positive("flow", flow_ml_s, "ml/s") * 1e-6 / bed_area_m2(basket_mm=basket_mm)
    grain = positive("grain size", grain_um, "um") * 1e-6
    return speed * grain * WATER_DENSITY_KG_M3 / viscosity_pa_s(temperature_c=temperature_c)
