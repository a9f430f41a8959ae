"""Water and steam on the saturation line, between 0 and 200 °C.

Pressures here are ABSOLUTE, in bar. A gauge reads the pressure above the local air, so a
gauge reading goes through `boiler` first: at 1 bar the mix-up is worth 21 K.

Pressure and temperature: IAPWS R7-97(2012), Industrial Formulation 1997, region 4
(equations 29 to 31). Densities and enthalpies: IAPWS SR1-86(1992), saturation properties of
ordinary water, equations 2 to 6, as in W. Wagner and A. Pruss, J. Phys. Chem. Ref. Data 22
(1993) 783; they stay within 0.4 kJ/kg of the 1997 formulation. Both are written out because a
property library takes longer to load than an answer may.
"""

from __future__ import annotations

from math import exp, pow, sqrt

from diagnose.compute.errors import within

ZERO_C = 273.15
LOW_C, HIGH_C = 0.0, 200.0
LOW_BAR, HIGH_BAR = 0.006112, 15.5468

_N = (
    1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333,
    14.91510861353, -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
)  # fmt: skip
_CRITICAL_K = 647.096
_CRITICAL_KG_M3 = 322.0
_LIQUID = (
    (1.99274064, 1 / 3), (1.09965342, 2 / 3), (-0.510839303, 5 / 3),
    (-1.75493479, 16 / 3), (-45.5170352, 43 / 3), (-6.74694450e5, 110 / 3),
)  # fmt: skip
_VAPOUR = (
    (-2.03150240, 1 / 3), (-2.68302940, 2 / 3), (-5.38626492, 4 / 3),
    (-17.2991605, 3.0), (-44.7586581, 37 / 6), (-63.9201063, 71 / 6),
)  # fmt: skip
_ALPHA = (
    (-1135.905627715, 0.0), (-5.65134998e-8, -19.0), (2690.66631, 1.0),
    (127.287297, 4.5), (-135.003439, 5.0), (0.981825814, 54.5),
)  # fmt: skip


def saturation_pressure_bar(temperature_c: float) -> float:
    """Return the absolute pressure in bar at which water boils at ``temperature_c``.

    IF97 region 4, equation 30. ComputeError outside 0 to 200 °C.
    """
    kelvin = _kelvin(temperature_c)
    theta = kelvin + _N[8] / (kelvin - _N[9])
    a = theta * theta + _N[0] * theta + _N[1]
    b = _N[2] * theta * theta + _N[3] * theta + _N[4]
    c = _N[5] * theta * theta + _N[6] * theta + _N[7]
    return 10.0 * (2.0 * c / (-b + sqrt(b * b - 4.0 * a * c))) ** 4


def saturation_temperature_c(absolute_bar: float) -> float:
    """Return the temperature in °C at which water boils under ``absolute_bar``.

    IF97 region 4, equation 31. ComputeError outside 0.0061 to 15.5 bar absolute.
    """
    within("absolute pressure", absolute_bar, LOW_BAR, HIGH_BAR, "bar")
    beta = pow(absolute_bar / 10.0, 0.25)
    e = beta * beta + _N[2] * beta + _N[5]
    f = _N[0] * beta * beta + _N[3] * beta + _N[6]
    g = _N[1] * beta * beta + _N[4] * beta + _N[7]
    d = 2.0 * g / (-f - sqrt(f * f - 4.0 * e * g))
    both = _N[9] + d
    return (both - sqrt(both * both - 4.0 * (_N[8] + _N[9] * d))) / 2.0 - ZERO_C


def water_density_kg_m3(temperature_c: float) -> float:
    """Return the density of water at its boiling pressure, kg/m³ (SR1-86, equation 2).

    Up to pump pressure liquid water is denser than this by at most 0.05 %.
    """
    tau = 1.0 - _kelvin(temperature_c) / _CRITICAL_K
    return _CRITICAL_KG_M3 * (1.0 + sum(b * pow(tau, power) for b, power in _LIQUID))


def steam_density_kg_m3(temperature_c: float) -> float:
    """Return the density of dry saturated steam, kg/m³ (SR1-86, equation 3)."""
    tau = 1.0 - _kelvin(temperature_c) / _CRITICAL_K
    return _CRITICAL_KG_M3 * exp(sum(c * pow(tau, power) for c, power in _VAPOUR))


def water_enthalpy_kj_kg(temperature_c: float) -> float:
    """Return the heat in water at its boiling pressure, kJ/kg from 0 °C (SR1-86, equation 4)."""
    return _enthalpy(temperature_c, water_density_kg_m3(temperature_c))


def steam_enthalpy_kj_kg(temperature_c: float, dryness: float = 1.0) -> float:
    """Return the heat in saturated steam, kJ/kg from water at 0 °C (SR1-86, equation 5).

    ``dryness`` is the share by mass that is vapour; the rest is droplets.
    """
    within("dryness of the steam", dryness, 0.0, 1.0)
    dry = _enthalpy(temperature_c, steam_density_kg_m3(temperature_c))
    wet = water_enthalpy_kj_kg(temperature_c)
    return wet + dryness * (dry - wet)


def latent_heat_kj_kg(temperature_c: float) -> float:
    """Return the heat that turns boiling water into dry steam, kJ/kg."""
    return steam_enthalpy_kj_kg(temperature_c) - water_enthalpy_kj_kg(temperature_c)


def flash_fraction(from_c: float, to_c: float) -> float:
    """Return the mass share of boiling water that turns to steam when it is let down.

    The heat stays the same while the water drops from boiling at ``from_c`` to boiling at
    ``to_c``; this is why a hot-water tap or an opened valve spits steam. Nought if ``to_c``
    is the hotter.
    """
    spare = water_enthalpy_kj_kg(from_c) - water_enthalpy_kj_kg(to_c)
    return max(0.0, spare / latent_heat_kj_kg(to_c))


def _kelvin(temperature_c: float) -> float:
    return within("temperature", temperature_c, LOW_C, HIGH_C, "°C") + ZERO_C


def _enthalpy(temperature_c: float, density_kg_m3: float) -> float:
    """Return alpha + T / rho * dp/dT, kJ/kg (SR1-86, equations 4 to 6)."""
    kelvin = temperature_c + ZERO_C
    theta = kelvin / _CRITICAL_K
    alpha = sum(d * pow(theta, power) for d, power in _ALPHA)
    return alpha + kelvin / density_kg_m3 * _slope_kpa_per_k(kelvin)


def _slope_kpa_per_k(kelvin: float) -> float:
    """Return how fast the boiling pressure rises, kPa/K: the exact derivative of region 4.

    Equation 29 is a form Q(beta, theta) = 0 with beta = p**(1/4), p in MPa, so the slope
    of beta is -(dQ/dtheta) / (dQ/dbeta) times the slope of theta.
    """
    beta = pow(saturation_pressure_bar(kelvin - ZERO_C) / 10.0, 0.25)
    theta = kelvin + _N[8] / (kelvin - _N[9])
    by_beta = 2.0 * beta * (theta * theta + _N[0] * theta + _N[1])
    by_beta += _N[2] * theta * theta + _N[3] * theta + _N[4]
    by_theta = beta * beta * (2.0 * theta + _N[0]) + beta * (2.0 * _N[2] * theta + _N[3])
    by_theta += 2.0 * _N[5] * theta + _N[6]
    theta_slope = 1.0 - _N[8] / (kelvin - _N[9]) ** 2
    return -4000.0 * beta**3 * by_theta / by_beta * theta_slope
