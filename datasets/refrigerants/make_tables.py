"""Make the refrigerant tables that the kit interpolates, from CoolProp's reference equations.

Run once, by hand, when the grid, a fluid or the CoolProp release changes:

    python datasets/refrigerants/make_tables.py

It writes `<name>.npz` and `PROVENANCE.md` beside itself. Every value is a saturation flash or a
single-phase (pressure, temperature) call; entropy and enthalpy based tables are inverted from a
dense isobar with a monotone Hermite cubic, so no (h, p) or (p, s) flash is needed for the blend.

Above `p_max` (as near to the critical point as 0.1 % holds) and below `P_MIN_PA` the tables go on
with a *continuation*, not a property: temperature runs on straight in ln p, latent heat and the
density difference die away exponentially above, vapour is an ideal gas below. It exists so that a
solver may pass through; the file says where the accurate range begins and ends.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import CoolProp
import CoolProp.CoolProp as CP  # noqa: N817 - the name CoolProp's own documentation uses
import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

HERE = Path(__file__).resolve().parent
P_MIN_PA = 20_000.0
CELLS = 224  # accurate part of the coarse ln p grid (vapour and liquid tables)
FINE = 10  # fine (saturation) cells in one coarse cell
CONTINUED_ABOVE, CONTINUED_BELOW = 0.8, 0.8  # in ln p, outside the accurate part
SUPERHEAT_MAX_K = 150.0
N_DT, N_DS, N_DH, N_SC = 251, 51, 91, 101
SUBCOOL_MAX_K = 75.0
SAT_COLUMNS = (
    *("t_bubble_k", "t_dew_k", "h_l", "h_v", "rho_l", "rho_v"),
    *("s_v", "s_l", "cp_l", "cp_v"),
)

FLUIDS: dict[str, dict[str, object]] = {
    "R-32": {
        "coolprop": "R32",
        "p_max_pa": 4_980_000.0,
        "liquid_floor_k": 140.0,
        "equation": "Tillner-Roth and Yokozeki 1997, doi 10.1063/1.556002, as built into CoolProp",
        "safety_class": "A2L",
        "lfl_kg_m3": 0.307,
        "components": "R-32 1.000 (mass)",
    },
    "R-410A": {
        "coolprop": "R410A",
        "p_max_pa": 4_570_000.0,
        "liquid_floor_k": 203.0,
        "equation": "Lemmon 2003 pseudo-pure fluid, doi 10.1023/A:1025048800563, in CoolProp",
        "safety_class": "A1",
        "lfl_kg_m3": None,
        "components": "R-32/R-125 0.500/0.500 (mass)",
    },
    "R-454B": {
        "coolprop": "R454B.mix",
        "p_max_pa": 4_400_000.0,
        "liquid_floor_k": 192.0,
        "equation": "R-32 with R-1234yf (Lemmon and Akasaka 2022) and Bell's mixture model "
        "(doi 10.1063/5.0135368), CoolProp predefined mixture R454B.mix",
        "safety_class": "A2L",
        "lfl_kg_m3": 0.297,
        "components": "R-32/R-1234yf 0.689/0.311 (mass)",
    },
}


class Saturation:
    """Saturation states along a rising pressure; a blend's flash starts from the one before."""

    def __init__(self, source: str) -> None:
        """Open one state per side, so that each has its own last solution."""
        self.sides = [CP.AbstractState("HEOS", source) for _ in range(2)]
        self.guesses: list[CP.PyGuessesStructure | None] = [None, None]
        self.is_blend = source.endswith(".mix")

    def _flash(self, side: int, p_pa: float) -> list[float]:
        state, guess = self.sides[side], self.guesses[side]
        if guess is None:
            state.update(CP.PQ_INPUTS, p_pa, float(side))
        else:
            state.update_with_guesses(CP.PQ_INPUTS, p_pa, float(side), guess)
        if self.is_blend:
            guess = CP.PyGuessesStructure()
            guess.T, guess.p = state.T(), state.p()
            guess.rhomolar_liq = state.saturated_liquid_keyed_output(CP.iDmolar)
            guess.rhomolar_vap = state.saturated_vapor_keyed_output(CP.iDmolar)
            guess.x = list(state.mole_fractions_liquid())
            guess.y = list(state.mole_fractions_vapor())
            self.guesses[side] = guess
        return [state.T(), state.hmass(), state.rhomass(), state.smass()]

    def side(self, side: int, p_pa: float) -> list[float]:
        """Return T, h, rho, s of saturated liquid (side 0) or vapour (side 1).

        A flash that fails at exactly this pressure (it happens at a few isolated ones) is
        replaced by the mean of two as far below as above it, the nearest that work.
        """
        for e in (0.0, 1e-6, 1e-5, 1e-4, 5e-4, 2e-3, 5e-3, 1e-2):
            try:
                low, high = (self._flash(side, p_pa * (1.0 + f)) for f in (-e, e))
            except ValueError:
                continue
            return [(a + b) / 2.0 for a, b in zip(low, high, strict=True)]
        raise RuntimeError(f"no saturation state at {p_pa} Pa, quality {side}")

    def row(self, p_pa: float) -> list[float]:
        """Return the saturation properties at one pressure, as SAT_COLUMNS less the two cp."""
        t_l, h_l, rho_l, s_l = self.side(0, p_pa)
        t_v, h_v, rho_v, s_v = self.side(1, p_pa)
        return [t_l, t_v, h_l, h_v, rho_l, rho_v, s_v, s_l]


def single_phase(
    state: CP.AbstractState, p_pa: float, temperatures: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return h, s, rho, cp along an isobar; the phase must be imposed on `state` already."""
    rows = np.empty((len(temperatures), 4))
    for i, t_k in enumerate(temperatures):
        state.update(CP.PT_INPUTS, p_pa, float(t_k))
        rows[i] = state.hmass(), state.smass(), state.rhomass(), state.cpmass()
    return rows[:, 0], rows[:, 1], rows[:, 2], rows[:, 3]


def hermite(x: Floats, xs: Floats, ys: Floats, dys: Floats) -> Floats:
    """Return the cubic Hermite interpolant of (xs, ys, dys) at x."""
    i = np.clip(np.searchsorted(xs, x) - 1, 0, len(xs) - 2)
    h = xs[i + 1] - xs[i]
    u = (x - xs[i]) / h
    a = ys[i + 1] - ys[i]
    c0, c1 = h * dys[i] - a, a - h * dys[i + 1]
    result: Floats = ys[i] + u * a + u * (1.0 - u) * (c0 * (1.0 - u) + c1 * u)
    return result


def extrapolated(x: Floats, xs: Floats, ys: Floats, dys: Floats) -> Floats:
    """Return the Hermite interpolant, straight beyond the last node."""
    inner = hermite(np.minimum(x, xs[-1]), xs, ys, dys)
    return inner + np.maximum(x - xs[-1], 0.0) * dys[-1]


def vapour_isobar(
    state: CP.AbstractState, p_pa: float, sat: dict[str, float], axes: dict[str, Floats]
) -> dict[str, Floats]:
    """Return one row of each vapour table: pt (h, s, rho), ps (h), ph (t, s, rho)."""
    # dense near the dew line, where cp falls steeply close to the critical point
    dense = SUPERHEAT_MAX_K * np.linspace(0.0, 1.0, 501) ** 2
    dense[0] = 1e-7
    t = sat["t_dew_k"] + dense
    h, s, rho, cp = single_phase(state, p_pa, t)
    h[0], s[0], rho[0], t[0] = sat["h_v"], sat["s_v"], sat["rho_v"], sat["t_dew_k"]
    dt, dh, ds = t - t[0], h - h[0], s - s[0]
    ln_rho = np.log(rho)
    slope_rho = np.gradient(ln_rho, dt, edge_order=2)
    x = axes["dt"]
    pt = np.stack(
        [
            extrapolated(x, dt, h, cp),
            extrapolated(x, dt, s, cp / t),
            np.exp(extrapolated(x, dt, ln_rho, slope_rho)),
        ],
        axis=-1,
    )
    ps = extrapolated(axes["ds"], ds, h, t)[:, None]
    x = axes["dh"]
    ph = np.stack(
        [
            extrapolated(x, dh, t, 1.0 / cp),
            extrapolated(x, dh, s, 1.0 / t),
            np.exp(extrapolated(x, dh, ln_rho, slope_rho / cp)),
        ],
        axis=-1,
    )
    return {"pt": pt, "ps": ps, "ph": ph}


def liquid_isobar(
    state: CP.AbstractState, p_pa: float, sat: dict[str, float], x: Floats, floor_k: float
) -> Floats:
    """Return h and rho of subcooled liquid at T_bubble - x, straight below the equation's floor."""
    t = sat["t_bubble_k"] - x
    known = t >= floor_k
    known[0] = True
    h, rho = np.full_like(t, np.nan), np.full_like(t, np.nan)
    if known[1]:
        h[known], _, rho[known], _ = single_phase(
            state, p_pa, np.where(x == 0.0, t - 1e-7, t)[known]
        )
    h[0], rho[0] = sat["h_l"], sat["rho_l"]
    n = int(known.sum())
    cp = sat["cp_l"] if n == 1 else (h[n - 2] - h[n - 1]) / x[1]
    d_rho = 0.003 * rho[0] if n == 1 else (rho[n - 1] - rho[n - 2]) / x[1]
    h[n:] = h[n - 1] - cp * (x[n:] - x[n - 1])
    rho[n:] = rho[n - 1] + d_rho * (x[n:] - x[n - 1])
    return np.stack([h, rho], axis=-1)


def continue_above(sat: Floats, n_more: int) -> Floats:
    """Return rows that carry the saturation table on above p_max (see the module's docstring)."""
    last = sat[-1]
    step = (3.0 * sat[-1] - 4.0 * sat[-2] + sat[-3]) / 2.0
    k = np.arange(1, n_more + 1)
    out = np.repeat(last[None, :], n_more, axis=0)
    col = {name: i for i, name in enumerate(SAT_COLUMNS)}
    for name in ("t_bubble_k", "t_dew_k"):
        # one slope for both, so that the glide stays what it is at p_max
        out[:, col[name]] = last[col[name]] + k * step[col["t_bubble_k"]]
    for low, high in (("h_l", "h_v"), ("s_l", "s_v"), ("rho_v", "rho_l")):
        a, b = col[low], col[high]
        gap, d_gap = last[b] - last[a], step[b] - step[a]
        mean, d_mean = (last[b] + last[a]) / 2.0, (step[b] + step[a]) / 2.0
        gap_k = gap * np.exp(k * d_gap / gap)
        mean_k = mean + k * d_mean * (0.0 if low == "rho_v" else 1.0)
        out[:, a], out[:, b] = mean_k - gap_k / 2.0, mean_k + gap_k / 2.0
    return out


def continue_below(sat: Floats, n_more: int, d_lnp: float) -> Floats:
    """Return rows that carry the saturation table on below p_min: straight, ideal-gas density."""
    first = sat[0]
    step = (-3.0 * sat[0] + 4.0 * sat[1] - sat[2]) / 2.0
    k = np.arange(-n_more, 0)
    out = first + k[:, None] * step
    col = {name: i for i, name in enumerate(SAT_COLUMNS)}
    out[:, col["rho_v"]] = first[col["rho_v"]] * np.exp(k * d_lnp)
    for name in ("cp_l", "cp_v"):
        out[:, col[name]] = first[col[name]]
    return out


def shifted(
    edge: dict[str, Floats], old: dict[str, float], new: dict[str, float]
) -> dict[str, Floats]:
    """Return an isobar's table rows moved from the saturation state `old` to `new`."""
    dh, ds, dt = (new[key] - old[key] for key in ("h_v", "s_v", "t_dew_k"))
    ratio_v, ratio_l = new["rho_v"] / old["rho_v"], new["rho_l"] / old["rho_l"]
    out = {key: row.copy() for key, row in edge.items()}
    out["pt"] = out["pt"] * [1.0, 1.0, ratio_v] + [dh, ds, 0.0]
    out["ps"] = out["ps"] + dh
    out["ph"] = out["ph"] * [1.0, 1.0, ratio_v] + [dt, ds, 0.0]
    out["liquid"] = out["liquid"] * [1.0, ratio_l] + [new["h_l"] - old["h_l"], 0.0]
    return out


def saturation_pressure(source: str, t_k: float) -> float:
    """Return the bubble pressure at a temperature."""
    state = CP.AbstractState("HEOS", source)
    state.update(CP.QT_INPUTS, 0.0, t_k)
    return float(state.p())


def saturated_cp(state: CP.AbstractState, p_pa: float, t_k: float, sign: float) -> float:
    """Return cp just inside the single phase."""
    state.update(CP.PT_INPUTS, p_pa, t_k + sign * 1e-6)
    return float(state.cpmass())


def packed(table: Floats) -> NDArray[np.int32]:
    """Return single-precision bits, quantities first, differenced along both other axes.

    It loses nothing beyond single precision and compresses to half the size.
    """
    bits = np.ascontiguousarray(table.transpose(2, 0, 1).astype(np.float32)).view(np.int32)
    bits = np.diff(bits, axis=2, prepend=np.int32(0))
    return np.diff(bits, axis=1, prepend=np.int32(0))


def make(name: str, log: Callable[[str], None] = print) -> None:
    """Compute and write the tables of one refrigerant."""
    info = FLUIDS[name]
    source = str(info["coolprop"])
    saturation = Saturation(source)
    gas, liquid = (CP.AbstractState("HEOS", source) for _ in range(2))
    gas.specify_phase(CP.iphase_gas)
    liquid.specify_phase(CP.iphase_liquid)
    lnp0, lnp_max = np.log(P_MIN_PA), np.log(float(str(info["p_max_pa"])))
    d_coarse = (lnp_max - lnp0) / CELLS
    floor_k = float(str(info["liquid_floor_k"]))
    floor_p = saturation_pressure(source, floor_k)
    fine = lnp0 + np.arange(CELLS * FINE + 1) * d_coarse / FINE
    sat = np.empty((len(fine), len(SAT_COLUMNS)))
    for i, lnp in enumerate(fine):
        p = float(np.exp(lnp))
        row = saturation.row(p)
        sat[i] = [
            *row,
            saturated_cp(liquid, max(p, floor_p), max(row[0], floor_k), -1.0),
            saturated_cp(gas, p, row[1], +1.0),
        ]
    log(f"{name}: {len(fine)} saturation states")
    n_up, n_down = (int(np.ceil(c / d_coarse)) for c in (CONTINUED_ABOVE, CONTINUED_BELOW))
    sat_all = np.vstack(
        [
            continue_below(sat, n_down * FINE, d_coarse / FINE),
            sat,
            continue_above(sat, n_up * FINE),
        ]
    )
    records = [dict(zip(SAT_COLUMNS, row, strict=True)) for row in sat_all[::FINE]]
    inside = range(n_down, n_down + CELLS + 1)
    pressures = np.exp(fine[::FINE])

    axes = {"dt": np.linspace(0.0, SUPERHEAT_MAX_K, N_DT)}
    ds_max, dh_max = 0.0, 0.0
    for p, rec in zip(pressures[::16], records[n_down::16], strict=False):
        h, s, _, _ = single_phase(gas, float(p), np.array([rec["t_dew_k"] + SUPERHEAT_MAX_K]))
        ds_max, dh_max = max(ds_max, s[0] - rec["s_v"]), max(dh_max, h[0] - rec["h_v"])
    axes["ds"] = np.linspace(0.0, float(np.ceil(ds_max / 50.0) * 50.0), N_DS)
    axes["dh"] = np.linspace(0.0, float(np.ceil(dh_max / 1e4) * 1e4), N_DH)
    sc = np.linspace(0.0, SUBCOOL_MAX_K, N_SC)

    rows: list[dict[str, Floats]] = []
    for p, i in zip(pressures, inside, strict=True):
        row_2d = vapour_isobar(gas, float(p), records[i], axes)
        row_2d["liquid"] = liquid_isobar(liquid, float(p), records[i], sc, floor_k)
        rows.append(row_2d)
    first, last = inside[0], inside[-1]
    below = [shifted(rows[0], records[first], rec) for rec in records[:first]]
    above = [shifted(rows[-1], records[last], rec) for rec in records[last + 1 :]]
    rows = below + rows + above
    log(f"{name}: vapour and liquid isobars done")

    meta = {
        "name": name,
        "molar_mass_kg_mol": gas.molar_mass(),
        "safety_class": info["safety_class"],
        "lfl_kg_m3": info["lfl_kg_m3"],
        "components": info["components"],
        "equation": info["equation"],
        "coolprop_name": source,
        "coolprop_version": CoolProp.__version__,
    }
    np.savez_compressed(
        HERE / f"{name}.npz",
        meta=np.array(json.dumps(meta)),
        grid=np.array([lnp0 - n_down * d_coarse, d_coarse, FINE, lnp0, lnp_max]),
        steps=np.array([axes["dt"][1], axes["ds"][1], axes["dh"][1], sc[1]]),
        sat=sat_all,
        **{key: packed(np.asarray([row[key] for row in rows])) for key in rows[0]},
    )


def main() -> None:
    """Make every table and the note of where they come from."""
    for name in FLUIDS:
        make(name)
    lines = [
        "# Refrigerant tables",
        "",
        f"Made by `make_tables.py` with CoolProp {CoolProp.__version__} (MIT licence); nothing",
        "here is measured by us. Interpolated by `kit/physics/refrigerant.py` and compared with",
        "CoolProp itself by `tests/physics/test_refrigerant.py`.",
        "",
        "| File | CoolProp fluid | Equation | Composition | Accurate pressure range |",
        "|-|-|-|-|-|",
    ]
    for name, info in FLUIDS.items():
        lines.append(
            f"| {name}.npz | {info['coolprop']} | {info['equation']} | {info['components']} "
            f"| {P_MIN_PA / 1e6:.2f} to {float(str(info['p_max_pa'])) / 1e6:.2f} MPa |"
        )
    lines += [
        "",
        "Safety classes: ASHRAE 34 (from memory). Lower flammability limits: R-32 0.307 kg/m3,",
        "R-454B 0.297 kg/m3 (ASHRAE 34 / ISO 817, from memory); R-410A has none.",
        "",
    ]
    (HERE / "PROVENANCE.md").write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
