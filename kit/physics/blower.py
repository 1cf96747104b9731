"""Indoor blower and outdoor fan: airflow where the fan curve meets the resistance, and the jet."""

from __future__ import annotations

from typing import Any

import numpy as np

# Growth of the filter's resistance with dust, exp(b L): the exponential form in dust mass is that
# of the air-filter model of Li et al. 2022 (Modelica Buildings library); b is common practice.
FILTER_GROWTH = 3.7
# Share of the face that full blockage (matted dirt, ice) leaves open: common practice, no source.
OPEN_FACE_LEFT = 0.08


def filter_resistance(clean: Any, loading: Any) -> Any:
    """Return the filter's resistance coefficient.

    Args:
        clean: resistance of the clean filter, as a share of the design total [-].
        loading: dust loading [0..1].

    Returns:
        Resistance in the unit of `clean` [-].

    Source: Li et al. 2022, Modelica Buildings AirFilters (resistance multiplier b**M, read at
        second hand); growth constant common practice, no source.
    """
    return clean * np.exp(FILTER_GROWTH * loading)


def blocked_resistance(clean: Any, blockage: Any, ice: Any) -> Any:
    """Return a coil's resistance coefficient with part of its face closed.

    Args:
        clean: resistance of the clean coil, as a share of the design total [-].
        blockage: face closed by dirt [0..1].
        ice: face closed by ice or frost [0..1].

    Returns:
        Resistance in the unit of `clean` [-].

    Source: continuity through the open share of the face, dp ~ (V/open)**2; textbook.
    """
    return clean / open_face(blockage, ice) ** 2


def open_face(blockage: Any, ice: Any) -> Any:
    """Return the share of a coil's face that is open.

    Args:
        blockage: face closed by dirt [0..1].
        ice: face closed by ice or frost [0..1].

    Returns:
        Open share [-].

    Source: common practice, no source.
    """
    shut = 1.0 - OPEN_FACE_LEFT
    return (1.0 - shut * blockage) * (1.0 - shut * ice)


def airflow_m3_s(free_m3_s: Any, speed: Any, resistance: Any, fouling: Any = 0.0) -> Any:
    """Return the airflow where the fan's curve meets the system's resistance.

    The curve is dp/dp0 = s**2 (1 - (V / (s V_free))**2), the resistance dp/dp0 = K (V / V_free)**2,
    so V = s V_free / sqrt(1 + K). Dirt on the blades lowers both the pressure and the free flow.

    Args:
        free_m3_s: flow against no resistance at full speed [m3/s].
        speed: fan speed over full speed [-].
        resistance: K, system resistance over the fan's own [-].
        fouling: dirt on the wheel [0..1].

    Returns:
        Airflow [m3/s].

    Source: fan laws V ~ n, dp ~ n**2 (textbook); fouling slopes common practice, no source.
    """
    lift = (1.0 - 0.78 * fouling) ** 2
    free = 1.0 - 0.50 * fouling
    return free_m3_s * speed * np.sqrt(lift / (resistance + lift / free**2))


def fan_power_w(rated_w: Any, speed: Any, flow_ratio: Any) -> Any:
    """Return a fan motor's input.

    Args:
        rated_w: input at full speed and design flow [W].
        speed: fan speed over full speed [-].
        flow_ratio: airflow over design airflow at that speed [-].

    Returns:
        Power [W].

    Source: P ~ n**3 (fan laws); the share that follows the flow, common practice, no source.
    """
    return rated_w * speed**3 * (0.35 + 0.65 * flow_ratio)


def jet_return(flow_ratio: Any, fouling: Any) -> Any:
    """Return the share of the intake that is the unit's own discharge falling back.

    A healthy unit on its quietest speed throws far enough; below that the jet drops (or, warm,
    clings) to the intake, and a dirty wheel breaks it up earlier.

    Args:
        flow_ratio: airflow over the design airflow at full speed [-].
        fouling: dirt on the wheel [0..1].

    Returns:
        Share of discharge air in the intake [0..0.55].

    Source: common practice, no source.
    """
    weak = np.minimum(np.maximum((0.36 + 0.24 * fouling - flow_ratio) / 0.26, 0.0), 1.0)
    return 0.55 * weak * weak * (3.0 - 2.0 * weak)


def wheel_bypass(fouling: Any) -> Any:
    """Return the share of the wheel's flow that slips past the coil through its own eddy.

    Args:
        fouling: dirt on the wheel [0..1].

    Returns:
        Bypass share [0..0.45].

    Source: an enlarged eccentric vortex lets air back through the wheel (cross-flow fan study,
        Processes 7(12) 959, 2019, read in abstract); the size is common practice, no source.
    """
    return 0.45 * fouling * fouling
