"""How much coolant reaches the edge, how fast it comes back, and whether it carries chips."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from holewright.cutting.domain import Array, between, not_negative, positive

EMULSION_DENSITY = 1000.0
"""[kg/m³]"""

EMULSION_VISCOSITY = 1.2e-6
"""Kinematic viscosity of soluble oil at 5 to 10 %, 20 °C. From memory. [m²/s]"""

AIR_DENSITY = 1.2
"""At 20 °C and ambient pressure. [kg/m³]"""

AMBIENT = 1.013
"""[bar]"""

_ITERATIONS = 40


def orifice_flow(
    pressure: ArrayLike,
    diameter: ArrayLike,
    *,
    count: ArrayLike = 1,
    discharge: ArrayLike = 0.65,
    density: ArrayLike = EMULSION_DENSITY,
) -> Array:
    r"""Return the flow through short drilled outlets.

    .. math:: Q = z C_d (\pi d^2 / 4) \sqrt{2 p / \rho}

    Parameters
    ----------
    pressure : array_like
        Pressure drop, 0 or more. [bar]
    diameter : array_like
        Diameter of an outlet, more than 0. [mm]
    count : array_like
        Number of outlets. [-]
    discharge : array_like
        Discharge coefficient; 0.6 to 0.7 for short drilled holes. [-]
    density : array_like
        Density. [kg/m³]

    Returns
    -------
    ndarray
        Flow. [L/min]

    Examples
    --------
    >>> orifice_flow([20.0, 40.0, 70.0], 1.0).round(2)
    array([1.94, 2.74, 3.62])
    """
    area = np.pi / 4 * (positive("diameter", diameter) * 1e-3) ** 2
    speed = np.sqrt(2e5 * not_negative("pressure", pressure) / positive("density", density))
    return 60000 * positive("count", count) * between("discharge", discharge, 0, 1) * area * speed


def channel_flow(
    pressure: ArrayLike,
    diameter: ArrayLike,
    length: ArrayLike,
    *,
    count: ArrayLike = 1,
    losses: ArrayLike = 1.5,
    roughness: ArrayLike = 0.012,
    helix_factor: ArrayLike = 1.0,
    density: ArrayLike = EMULSION_DENSITY,
    viscosity: ArrayLike = EMULSION_VISCOSITY,
) -> Array:
    r"""Return the flow through the coolant channels of a tool.

    .. math:: p = (K + \lambda L / d) \rho v^2 / 2

    with λ = 64 / Re up to Re = 2300 and from Re = 4000 the explicit form of Swamee and Jain,
    :math:`\lambda = 0.25 / \log_{10}^2 (\epsilon / 3.7 d + 5.74 / Re^{0.9})`; between the two it
    goes over evenly.

    Parameters
    ----------
    pressure : array_like
        Pressure at the tool's back end, 0 or more. [bar]
    diameter : array_like
        Diameter of a channel, more than 0. [mm]
    length : array_like
        Its length, 0 or more. [mm]
    count : array_like
        Number of channels. [-]
    losses : array_like
        Sum K of entry and exit losses; 0.5 + 1. [-]
    roughness : array_like
        Height of the channel's roughness; 0.010 to 0.020 for as-sintered carbide. [mm]
    helix_factor : array_like
        Friction of a helical channel over that of a straight one; 1.1 to 1.5. [-]
    density : array_like
        Density. [kg/m³]
    viscosity : array_like
        Kinematic viscosity. [m²/s]

    Returns
    -------
    ndarray
        Flow of all channels. [L/min]

    Notes
    -----
    The pump's own flow limits sooner than the channel does: hold the result against its
    curve. Entrained air, as in MQL, is another matter.

    References
    ----------
    .. [1] P.K. Swamee and A.K. Jain, J. Hydraulics Div. ASCE 102 (1976) 657-664. From memory.
    """
    d = positive("diameter", diameter) * 1e-3
    head = 2e5 * not_negative("pressure", pressure) / positive("density", density)
    slim = not_negative("length", length) * 1e-3 / d * positive("helix_factor", helix_factor)
    rough = not_negative("roughness", roughness) * 1e-3 / (3.7 * d)
    nu = positive("viscosity", viscosity)
    fixed = positive("losses", losses)
    # Friction changes slowly with speed: each round gains at least a factor 2.
    speed = np.sqrt(head / fixed)
    for _ in range(_ITERATIONS):
        re = np.maximum(speed * d / nu, 1e-6)
        turbulent = 0.25 / np.log10(rough + 5.74 / np.maximum(re, 2300.0) ** 0.9) ** 2
        share = np.clip((re - 2300.0) / 1700.0, 0.0, 1.0)
        friction = (1 - share) * 64 / re + share * turbulent
        speed = np.sqrt(head / (fixed + friction * slim))
    return 60000 * positive("count", count) * np.pi / 4 * d**2 * speed


def mist_air_flow(
    pressure: ArrayLike,
    diameter: ArrayLike,
    *,
    count: ArrayLike = 1,
    discharge: ArrayLike = 0.65,
) -> Array:
    r"""Return the air that a mist (MQL) carries through the channels of a tool.

    .. math:: \dot m = C_d A p_0 \sqrt{\frac{\gamma}{R T}}
        \Bigl(\frac{2}{\gamma + 1}\Bigr)^{(\gamma + 1) / 2(\gamma - 1)}

    Parameters
    ----------
    pressure : array_like
        Pressure over ambient at the tool's back end, 0.9 or more. [bar]
    diameter : array_like
        Diameter of a channel, more than 0. [mm]
    count : array_like
        Number of channels. [-]
    discharge : array_like
        Discharge coefficient; friction of a long channel takes it lower still. [-]

    Returns
    -------
    ndarray
        Flow as free air, at ambient pressure and 20 °C. [L/min]

    Notes
    -----
    From 0.9 bar on, air leaves at the speed of sound and the formula holds. The air carries
    the chips; the oil is far too little for that, and over 95 % of its drops have been seen
    to hit the channel's wall (abstract of a study of mist channels), so that films and not
    drops reach the edge.

    References
    ----------
    .. [1] Choked flow of an ideal gas, any textbook of gas dynamics.

    Examples
    --------
    >>> mist_air_flow(6.0, [1.0, 2.0]).round()
    array([ 42., 169.])
    """
    absolute = 1e5 * (between("pressure", pressure, 0.9, 100.0) + AMBIENT)
    area = np.pi / 4 * (positive("diameter", diameter) * 1e-3) ** 2
    gamma, gas_constant, kelvin = 1.4, 287.0, 293.15
    choked = (2 / (gamma + 1)) ** ((gamma + 1) / (2 * (gamma - 1)))
    flux = absolute * np.sqrt(gamma / (gas_constant * kelvin)) * choked
    mass = positive("count", count) * between("discharge", discharge, 0, 1) * area * flux
    free_air: Array = 60000 * mass / AIR_DENSITY
    return free_air


def flow_velocity(flow: ArrayLike, area: ArrayLike) -> Array:
    """Return the mean velocity of a flow in a free section: the return along the flutes.

    Parameters
    ----------
    flow : array_like
        Flow, 0 or more. [L/min]
    area : array_like
        Free section of flutes and clearance, more than 0. [mm²]

    Returns
    -------
    ndarray
        Velocity. [m/s]

    Notes
    -----
    To carry chips out of a short hole 2 m/s will do; a deep or upward one wants 6 to 10.
    From memory.

    Examples
    --------
    >>> round(float(flow_velocity(10.0, 20.6)), 1)
    8.1
    """
    return not_negative("flow", flow) / 0.06 / positive("area", area)


def hydraulic_power(pressure: ArrayLike, flow: ArrayLike) -> Array:
    """Return the power that pressure and flow carry, all of which ends as heat.

    Parameters
    ----------
    pressure : array_like
        Pressure, 0 or more. [bar]
    flow : array_like
        Flow, 0 or more. [L/min]

    Returns
    -------
    ndarray
        Power. [W]
    """
    return not_negative("pressure", pressure) * not_negative("flow", flow) / 0.6


def jet_force(flow: ArrayLike, velocity: ArrayLike, density: ArrayLike = EMULSION_DENSITY) -> Array:
    """Return the push of a jet.

    Parameters
    ----------
    flow : array_like
        Flow, 0 or more. [L/min]
    velocity : array_like
        Velocity of the jet, 0 or more. [m/s]
    density : array_like
        Density. [kg/m³]

    Returns
    -------
    ndarray
        Force. [N]
    """
    mass = positive("density", density) * not_negative("flow", flow) / 60000
    return mass * not_negative("velocity", velocity)


def chip_slip(
    volume: ArrayLike,
    area: ArrayLike,
    *,
    chip_density: ArrayLike = 7850.0,
    density: ArrayLike = EMULSION_DENSITY,
    drag: ArrayLike = 1.1,
) -> Array:
    r"""Return how fast a chip sinks in coolant; the return must beat it three times over.

    .. math:: v_s = \sqrt{2 (\rho_s - \rho) g V / (\rho C_d A)}

    Parameters
    ----------
    volume : array_like
        Volume of one chip. [mm³]
    area : array_like
        Its broadside area. [mm²]
    chip_density : array_like
        Density of the chip, more than that of the coolant. [kg/m³]
    density : array_like
        Density of the coolant. [kg/m³]
    drag : array_like
        Drag coefficient of a plate across the stream. [-]

    Returns
    -------
    ndarray
        Slip velocity. [m/s]
    """
    rho = positive("density", density)
    heavier = not_negative("chip_density less density", np.asarray(chip_density) - rho)
    thickness = positive("volume", volume) / positive("area", area) * 1e-3
    return np.sqrt(2 * heavier * 9.81 * thickness / (rho * positive("drag", drag)))


def flow_wanted(DC: ArrayLike) -> tuple[Array, Array]:
    """Return the flow that a through-coolant carbide drill or reamer wants.

    Parameters
    ----------
    DC : array_like
        Cutting diameter, more than 0. [mm]

    Returns
    -------
    tuple of ndarray
        Least and preferred flow: 0.7 and 2 litres a minute for each mm of diameter. [L/min]

    Notes
    -----
    From memory.
    """
    diameter = positive("DC", DC)
    return 0.7 * diameter, 2.0 * diameter
