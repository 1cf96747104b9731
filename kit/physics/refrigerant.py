"""Refrigerant properties, interpolated from small tables made with CoolProp.

All pressures enter as ln(p/Pa): the tables are uniform in it, so one multiplication finds the cell.
Everything takes scalars or arrays. Outside the tables the last cell runs on straight and finite, so
that a solver may pass through; `lnp_min` and `lnp_max` bound the range checked against CoolProp.
The tables are made by datasets/refrigerants/make_tables.py; nothing is built or fetched here.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.physics._types import Array


class Sat(NamedTuple):
    """Saturation at one pressure: t [K], h [J/kg], rho [kg/m3], s and cp [J/(kg K)]."""

    t_bubble_k: Array
    t_dew_k: Array
    h_l: Array
    h_v: Array
    rho_l: Array
    rho_v: Array
    s_v: Array
    s_l: Array
    cp_l: Array
    cp_v: Array


class VapourPT(NamedTuple):
    """Superheated vapour by pressure and superheat: h [J/kg], s [J/(kg K)], rho [kg/m3]."""

    h: Array
    s: Array
    rho: Array


class VapourPH(NamedTuple):
    """Superheated vapour by pressure and enthalpy: t [K], s [J/(kg K)], rho [kg/m3]."""

    t: Array
    s: Array
    rho: Array


class Liquid(NamedTuple):
    """Subcooled liquid: h [J/kg], rho [kg/m3]."""

    h: Array
    rho: Array


@dataclass(frozen=True, slots=True)
class _Bilinear:
    """A uniform table of k quantities over (ln p, y); each cell holds its four coefficients."""

    coefficients: Array  # (4, k, cells)
    lnp0: float
    per_lnp: float
    per_y: float
    last_i: float
    last_j: float
    cells_j: int

    @classmethod
    def of(cls, bits: Array, lnp0: float, d_lnp: float, d_y: float) -> _Bilinear:
        """Unpack a table (k quantities, rows ln p, columns y) written by make_tables.py."""
        np.cumsum(bits, axis=1, dtype=np.int32, out=bits)
        np.cumsum(bits, axis=2, dtype=np.int32, out=bits)
        z = bits.view(np.float32)
        k, n, m = z.shape
        coefficients = np.empty((4, k, n - 1, m - 1))
        c0, c1, c2, c3 = coefficients
        c0[...] = z[:, :-1, :-1]
        np.subtract(z[:, :-1, 1:], c0, out=c1)
        np.subtract(z[:, 1:, :-1], c0, out=c2)
        np.subtract(z[:, 1:, 1:], z[:, 1:, :-1], out=c3, dtype=np.float64)
        c3 -= c1
        flat = coefficients.reshape(4, k, -1)
        return cls(flat, lnp0, 1.0 / d_lnp, 1.0 / d_y, n - 2.0, m - 2.0, m - 1)

    def at(self, lnp: Array, y: Array) -> Array:
        """Return the k quantities, first axis, at ln p and y."""
        u, v = (lnp - self.lnp0) * self.per_lnp, y * self.per_y
        i = np.minimum(np.maximum(u, 0.0), self.last_i).astype(np.intp)
        j = np.minimum(np.maximum(v, 0.0), self.last_j).astype(np.intp)
        c = self.coefficients.take(i * self.cells_j + j, axis=2, mode="clip")
        v = v - j
        return c[0] + v * c[1] + (u - i) * (c[2] + v * c[3])


@dataclass(frozen=True, slots=True)
class Refrigerant:
    """One refrigerant: its tables and what a label says of it.

    `lnp_min` and `lnp_max` [ln Pa] bound the range that is checked against CoolProp.
    `lfl_kg_m3` is the lower flammability limit [kg/m3], None where the class is A1.

    Source: CoolProp 8, see datasets/refrigerants/PROVENANCE.md; safety class and flammability
    limit from ASHRAE 34 / ISO 817, from memory.
    """

    name: str
    molar_mass_kg_mol: float
    safety_class: str
    lfl_kg_m3: float | None
    components: str
    lnp_min: float
    lnp_max: float
    _lnp0: float = field(repr=False)
    _per_lnp: float = field(repr=False)
    _last: float = field(repr=False)
    _lnp_nodes: Array = field(repr=False)
    _sat: Array = field(repr=False)
    _sat_slope: Array = field(repr=False)
    _pt: _Bilinear = field(repr=False)
    _ps: _Bilinear = field(repr=False)
    _ph: _Bilinear = field(repr=False)
    _liquid: _Bilinear = field(repr=False)

    def sat(self, lnp: Array) -> Sat:
        """Return the saturated liquid and vapour at a pressure.

        Args:
            lnp: natural logarithm of the absolute pressure [ln Pa], lnp_min to lnp_max.

        Returns:
            Saturation properties [SI].

        Source: CoolProp 8, tabulated.
        """
        u = (lnp - self._lnp0) * self._per_lnp
        i = np.minimum(np.maximum(u, 0.0), self._last).astype(np.intp)
        value = self._sat.take(i, axis=1, mode="clip")
        return Sat._make(value + (u - i) * self._sat_slope.take(i, axis=1, mode="clip"))

    def lnp_dew(self, t_k: Array) -> Array:
        """Return ln p at which vapour of this temperature begins to condense.

        Args:
            t_k: temperature [K].

        Returns:
            Logarithm of the dew pressure [ln Pa].

        Source: CoolProp 8, tabulated.
        """
        return np.interp(t_k, self._sat[1], self._lnp_nodes)

    def lnp_bubble(self, t_k: Array) -> Array:
        """Return ln p at which liquid of this temperature begins to boil.

        Args:
            t_k: temperature [K].

        Returns:
            Logarithm of the bubble pressure [ln Pa].

        Source: CoolProp 8, tabulated.
        """
        return np.interp(t_k, self._sat[0], self._lnp_nodes)

    def vapour_pt(self, lnp: Array, dt_k: Array) -> VapourPT:
        """Return superheated vapour by superheat.

        Args:
            lnp: logarithm of the pressure [ln Pa].
            dt_k: temperature above dew [K], 0 to 150.

        Returns:
            Enthalpy [J/kg], entropy [J/(kg K)] and density [kg/m3].

        Source: CoolProp 8, tabulated.
        """
        return VapourPT._make(self._pt.at(lnp, dt_k))

    def vapour_ps(self, lnp: Array, ds_j_kgk: Array) -> Array:
        """Return the enthalpy of vapour by entropy, as isentropic compression needs it.

        Args:
            lnp: logarithm of the pressure [ln Pa].
            ds_j_kgk: entropy above saturated vapour at this pressure [J/(kg K)]; slightly negative
                (wet) values run on straight.

        Returns:
            Enthalpy [J/kg].

        Source: CoolProp 8, tabulated.
        """
        return self._ps.at(lnp, ds_j_kgk)[0]

    def vapour_ph(self, lnp: Array, dh_j_kg: Array) -> VapourPH:
        """Return superheated vapour by enthalpy.

        Args:
            lnp: logarithm of the pressure [ln Pa].
            dh_j_kg: enthalpy above saturated vapour at this pressure [J/kg], 0 or more.

        Returns:
            Temperature [K], entropy [J/(kg K)] and density [kg/m3].

        Source: CoolProp 8, tabulated.
        """
        return VapourPH._make(self._ph.at(lnp, dh_j_kg))

    def liquid(self, lnp: Array, subcooling_k: Array) -> Liquid:
        """Return subcooled liquid by subcooling.

        Args:
            lnp: logarithm of the pressure [ln Pa].
            subcooling_k: temperature below bubble [K], 0 to 75.

        Returns:
            Enthalpy [J/kg] and density [kg/m3].

        Source: CoolProp 8, tabulated.
        """
        return Liquid._make(self._liquid.at(lnp, subcooling_k))

    def h_liquid(self, t_k: Array, lnp: Array) -> Array:
        """Return the enthalpy of subcooled liquid by temperature and pressure.

        Args:
            t_k: temperature [K], at or below bubble.
            lnp: logarithm of the pressure [ln Pa].

        Returns:
            Enthalpy [J/kg].

        Source: CoolProp 8, tabulated.
        """
        return self._liquid.at(lnp, self.sat(lnp).t_bubble_k - t_k)[0]

    def rho_liquid(self, t_k: Array, lnp: Array | None = None) -> Array:
        """Return the density of liquid by temperature, saturated when no pressure is given.

        Args:
            t_k: temperature [K].
            lnp: logarithm of the pressure [ln Pa], or None for bubble pressure.

        Returns:
            Density [kg/m3].

        Source: CoolProp 8, tabulated.
        """
        if lnp is None:
            return self.sat(self.lnp_bubble(t_k)).rho_l
        return self._liquid.at(lnp, self.sat(lnp).t_bubble_k - t_k)[1]


def names() -> list[str]:
    """Return the names of every refrigerant that has a table, sorted."""
    return sorted(path.stem for path in library.datasets("refrigerants").glob("*.npz"))


@cache
def load(name: str) -> Refrigerant:
    """Return a refrigerant's tables; read once, then kept.

    Args:
        name: ASHRAE 34 number, such as "R-32"; one of `names()`.

    Returns:
        The refrigerant.

    Raises:
        UnknownNameError: no table of that name.
        KitError: the table cannot be read.
    """
    if name not in names():
        raise UnknownNameError("refrigerant", name, names())
    path = library.datasets("refrigerants", f"{name}.npz")
    try:
        with np.load(path, allow_pickle=False) as stored:
            data = {key: stored[key] for key in stored.files}
    except (OSError, ValueError) as error:
        raise KitError(f"The table {path.name} cannot be read ({error}). Install again.") from error
    return _refrigerant(data)


def _refrigerant(data: dict[str, Any]) -> Refrigerant:
    meta = json.loads(str(data["meta"]))
    lnp0, d_lnp, fine, lnp_min, lnp_max = (float(x) for x in data["grid"])
    sat = np.ascontiguousarray(data["sat"].T)
    steps = dict(zip(("pt", "ps", "ph", "liquid"), data["steps"], strict=True))
    tables = {key: _Bilinear.of(data[key], lnp0, d_lnp, float(dy)) for key, dy in steps.items()}
    return Refrigerant(
        name=meta["name"],
        molar_mass_kg_mol=meta["molar_mass_kg_mol"],
        safety_class=meta["safety_class"],
        lfl_kg_m3=meta["lfl_kg_m3"],
        components=meta["components"],
        lnp_min=lnp_min,
        lnp_max=lnp_max,
        _lnp0=lnp0,
        _per_lnp=fine / d_lnp,
        _last=float(sat.shape[1] - 2),
        _lnp_nodes=lnp0 + d_lnp / fine * np.arange(sat.shape[1]),
        _sat=sat,
        _sat_slope=np.diff(sat, axis=1),
        _pt=tables["pt"],
        _ps=tables["ps"],
        _ph=tables["ph"],
        _liquid=tables["liquid"],
    )


def zivi_void(x: Array, rho_l: Array, rho_v: Array) -> Array:
    """Return the void fraction of two-phase flow.

    Args:
        x: vapour quality [0..1].
        rho_l: density of the liquid [kg/m3].
        rho_v: density of the vapour [kg/m3].

    Returns:
        Void fraction [0..1].

    Source: Zivi 1964, minimum entropy production, slip = (rho_l/rho_v)^(1/3).
    """
    c = (rho_v / rho_l) ** (2.0 / 3.0)
    return x / (c + (1.0 - c) * x)


def mean_void(x1: Array, x2: Array, rho_l: Array, rho_v: Array) -> Array:
    """Return the length-mean of Zivi's void fraction between two qualities at even heat flux.

    With c = (rho_v/rho_l)^(2/3) and y = c + (1 - c) x it is [1 - c ln(y2/y1)/(y2 - y1)]/(1 - c).

    Args:
        x1: quality at one end [0..1].
        x2: quality at the other end [0..1], may equal x1.
        rho_l: density of the liquid [kg/m3].
        rho_v: density of the vapour [kg/m3].

    Returns:
        Mean void fraction [0..1].

    Source: Zivi 1964, integrated in closed form.
    """
    c = np.minimum((rho_v / rho_l) ** (2.0 / 3.0), 1.0 - 1e-6)
    y1 = np.maximum(c + (1.0 - c) * x1, 1e-9)
    # 1e-30 changes nothing unless both ends are equal, where the quotient then gives its limit
    dy = np.maximum(c + (1.0 - c) * x2, 1e-9) - y1 + 1e-30
    return (1.0 - c * np.log1p(dy / y1) / dy) / (1.0 - c)
