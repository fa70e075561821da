#!/usr/bin/env python3
"""What one member of a prediction solves, by scipy, as exactly, against the engine's time.

    cargo build --release -p slowstone-curing --example speed
    python3 tests/bench/heat_scipy.py target/release/examples/speed

or `cargo xtask bench engine`, which does both.

The same problem: 0.15 m of concrete that hydrates (Schindler and Folliard) on 0.5 m of
gravel, and a column at its edge; daily and slow waves of air, wind and sun; a form that
comes off after three days; the equivalent ages of set and strength at five places. 28 days.
Truth: the same equations on 60 cells with tight tolerances. Then the engine's own cells with
LSODA, BDF and Radau; of the tolerances that come as near the truth as the engine does, the
fastest counts. The engine's time is that of a whole prediction over its members. The two take
turns, and medians are told. Needs numpy and scipy; prints rows of the table of the bench.
"""

import json
import math
import subprocess
import sys
import time

try:
    import numpy as np
    from scipy.integrate import solve_ivp
except ImportError as missing:
    sys.exit(f"numpy and scipy are needed to compare with ({missing}); pip install scipy")

TAU_H, BETA, ALPHA_U = 15.112, 0.66568, 1.031 * 0.6 / (0.194 + 0.6)
E_OVER_R, HEAT = 45_218.0 / 8.314462618, 0.875 * 300.0 * 480_920.0
GROUND_C, EDGE_M, EDGE_TO_CORE = 16.0, 0.025, 2.0 / 0.15
TURN = 2.0 * math.pi


def air(h):
    return 16.0 + 4.0 * math.sin((h - 9.0) / 24.0 * TURN) + 2.0 * math.sin(h / 100.0 * TURN)


def h_top(h):
    return 14.0 + 5.0 * math.sin(h / 31.0 * TURN)


def sun(h):
    return max(0.0, 300.0 * math.sin((h - 6.0) / 24.0 * TURN))


def set_rate(t):
    return np.exp(42_500.0 / 8.314462618 * (1.0 / 296.15 - 1.0 / (t + 273.15)))


def strength_rate(t):
    """5000 K above 20 degrees C, Freiesleben Hansen and Pedersen below."""
    k = t + 273.15
    cold = 33_500.0 + 1470.0 * np.maximum(20.0 - t, 0.0)
    q = np.where(t >= 20.0, 5000.0, cold / 8.314)
    return np.exp(5000.0 * (1.0 / 296.15 - 1.0 / 293.15) + q * (1.0 / 293.15 - 1.0 / k))


class Columns:
    """Finite volumes: temperatures of core, gravel and edge, ages of the concrete cells,
    five equivalent ages."""

    def __init__(self, concrete, gravel, growth):
        ratio = growth ** np.arange(gravel)
        dx = np.concatenate([np.full(concrete, 0.15 / concrete), 0.5 * ratio / ratio.sum()])
        k = np.concatenate([np.full(concrete, 2.0), np.full(gravel, 1.2)])
        self.capacity = dx * np.concatenate([np.full(concrete, 2.35e6), np.full(gravel, 1.62e6)])
        self.half = 2.0 * k / dx
        self.links = self.half[:-1] * self.half[1:] / (self.half[:-1] + self.half[1:])
        self.n, self.cells, self.dx = concrete, concrete + gravel, dx[0]
        self.temps = self.cells + concrete
        self.start = np.concatenate(
            [
                np.full(concrete, 21.0),
                np.full(gravel, GROUND_C),
                np.full(concrete, 21.0),
                np.full(2 * concrete, 1e-6),
                np.zeros(5),
            ]
        )

    def slope(self, h, y):
        n, top_h = self.n, h_top(h)
        core, edge = y[: self.cells], y[self.cells : self.temps]
        concrete = np.concatenate([core[:n], edge])
        age = np.maximum(y[self.temps : self.temps + 2 * n], 1e-6)
        rate = np.exp(E_OVER_R * (1.0 / 293.15 - 1.0 / (concrete + 273.15)))
        u = (TAU_H / age) ** BETA
        power = HEAT * self.dx * ALPHA_U * np.exp(-u) * u * BETA / age * rate / 3600.0
        u_top = self.half[0] * top_h / (self.half[0] + top_h)
        kept = sun(h) * self.half[0] / (self.half[0] + top_h)
        a = air(h)
        into = np.zeros(self.cells)
        flow = self.links * (core[1:] - core[:-1])
        into[:-1] += flow
        into[1:] -= flow
        into[0] += u_top * (a - core[0]) + kept
        into[-1] += self.half[-1] * (GROUND_C - core[-1])
        into[:n] += power[:n]
        side = np.zeros(n)
        flow = self.links[: n - 1] * (edge[1:] - edge[:-1])
        side[:-1] += flow
        side[1:] -= flow
        side[0] += u_top * (a - edge[0]) + kept
        side[-1] += self.half[0] * (GROUND_C - edge[-1])
        boards = 0.025 / 0.12 if h < 72.0 else 0.0
        u_air = 1.0 / (1.0 / top_h + boards)
        face = u_air * (a - edge) + EDGE_TO_CORE * (core[:n] - edge)
        side += face * self.dx / EDGE_M + power[n:]
        m = n // 2
        seen = np.array([core[0], core[0], 0.5 * (core[m - 1] + core[m]), edge[0], edge[m]])
        ages = np.concatenate([set_rate(seen[:1]), strength_rate(seen[1:])])
        return np.concatenate(
            [3600.0 * into / self.capacity, 3600.0 * side / self.capacity[:n], rate, ages]
        )

    def middles(self, hours, method, rtol):
        out = solve_ivp(
            self.slope,
            (0.0, hours[-1]),
            self.start,
            method=method,
            t_eval=hours,
            rtol=rtol,
            atol=rtol * 10.0,
            first_step=1e-3,
        )
        i = self.n // 2
        j = self.cells + i
        return np.array([0.5 * (out.y[i - 1] + out.y[i]), 0.5 * (out.y[j - 1] + out.y[j])])


TURNS = 5


def main():
    # Coarse tolerances may run away; they do not count then.
    np.seterr(all="ignore")
    program = sys.argv[1]

    def engine_once():
        return json.loads(subprocess.check_output([program, "--course"]))

    rows = np.array(engine_once()["rows"])
    hours, engine = rows[:, 0], rows[:, 1:].T
    truth = Columns(30, 30, 1.05).middles(hours, "LSODA", 1e-8)

    def off(found):
        """Root mean square over the first week, where everything happens, K."""
        return float(np.sqrt(np.mean((found - truth)[:, hours <= 168.0] ** 2)))

    def scipy_once(method, rtol):
        """Milliseconds, and how far from the truth, K."""
        columns = Columns(6, 3, 2.0)
        begin = time.perf_counter()
        found = columns.middles(hours, method, rtol)
        return (time.perf_counter() - begin) * 1000.0, off(found)

    # The cells alone have an error: nobody is asked to be nearer than they allow.
    allowed = off(engine) * 1.05
    best = None
    for method in ["LSODA", "BDF", "Radau"]:
        for rtol in [1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 1e-5, 1e-6]:
            took, error = scipy_once(method, rtol)
            if error > allowed:
                continue
            if best is None or took < best[0]:
                best = (took, method, rtol, error)
            # A tighter one only takes longer.
            break
    if best is None:
        sys.exit("no tolerance of scipy came as near the truth as the engine; look at the cells")
    _, method, rtol, error = best
    turns = [(engine_once(), scipy_once(method, rtol)[0]) for _ in range(TURNS)]

    def ours(name):
        return float(np.median([engine[name] for engine, _ in turns]))

    theirs = float(np.median([took for _, took in turns]))
    anchor = f"scipy {method}, rtol {rtol:g}"
    how = f"28 days; off the truth by {off(engine):.2f} K, scipy {error:.2f} K; {TURNS} turns"
    for what, value, beside, note in [
        ("engine: prediction, per member", ours("member_ms"), theirs, "all of a prediction; " + how),
        ("engine: heat of one member alone", ours("heat_ms"), theirs, how),
        ("engine: prediction as shown", ours("prediction_ms"), None, "64 members, 28 days"),
    ]:
        other = f"{anchor}\t{beside:.4f}" if beside else "\t"
        print(f"{what}\t{value:.5f}\tms\t{other}\t{note}")


if __name__ == "__main__":
    main()
