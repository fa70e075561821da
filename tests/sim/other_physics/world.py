"""Weather and concrete of invented pours, by physics that the engine does not use.

Cement reacts by a chemical affinity (Cervera, Oliver and Prato 1999), sets at a degree of
hydration that grows with water over cement (Schindler 2004) and gains strength by the
gel-space ratio (Powers and Brownyard 1948). Bleed water stands as a film that has to
evaporate; mass goes to the air by the analogy of heat and mass (Lewis). The sky radiates
by Brutsaert 1975 with cloud, the sun shines by Haurwitz 1945 with the cloud factor of
Kasten and Czeplak 1980. No number and no function comes from the engine; the spreads are
judgement, written beside each draw. What people see of it is in people.py.
"""
import numpy as np

HOURS_BEFORE = 36
HOURS_AFTER = 24 * 21
GAS = 8.314
DX = 0.030          # m, cell of the section
ROWS, COLUMNS = 5, 6  # 150 mm thick, 180 mm from the face to the middle
GROUND_ROWS = 7
STEP_S = 180.0


def factor(rng, n, spread):
    """A factor about 1 whose logarithm has this spread."""
    return np.exp(rng.normal(0.0, spread, n))


def wander(rng, n, hours, tau_h, spread):
    """An hourly series that wanders about zero and forgets within tau_h."""
    keep = np.exp(-1.0 / tau_h)
    out = np.empty((n, hours))
    x = rng.normal(0.0, spread, n)
    for i in range(hours):
        out[:, i] = x
        x = keep * x + rng.normal(0.0, spread * np.sqrt(1 - keep * keep), n)
    return out


def vapour_pa(t_c):
    """Saturated vapour over water, Pa (Bolton 1980)."""
    return 611.2 * np.exp(17.67 * t_c / (t_c + 243.5))


class Weather:
    """Hourly weather about the start of each pour; index 0 is HOURS_BEFORE earlier."""

    def __init__(self, rng, n):
        hours = HOURS_BEFORE + HOURS_AFTER
        self.lat = np.where(rng.random(n) < 0.2, -rng.uniform(25, 45, n), rng.uniform(33, 58, n))
        self.start_clock = rng.integers(7, 16, n)        # local solar hour of the pour
        self.day = rng.integers(0, 365, n)
        north = self.lat > 0
        # Building season: not in the depth of winter.
        self.day = np.where(north, 75 + self.day * 240 // 365, (258 + self.day * 240 // 365) % 365)
        warmest = np.where(north, 205, 22)
        season = np.cos(2 * np.pi * (self.day - warmest) / 365)
        mean = 26.0 - 0.42 * (np.abs(self.lat) - 15) + 0.19 * np.abs(self.lat) * season
        i = np.arange(hours)[None, :] - HOURS_BEFORE
        clock = (self.start_clock[:, None] + i) % 24
        cloud = 1 / (1 + np.exp(-wander(rng, n, hours, 20, 2.0) - rng.normal(0, 0.8, n)[:, None]))
        swing = (1.0 + 5.5 * (1 - 0.8 * cloud)) * factor(rng, n, 0.2)[:, None]
        course = np.cos(2 * np.pi * (clock - 15.2) / 24) + 0.15 * np.cos(4 * np.pi * (clock - 13.5) / 24)
        self.air = mean[:, None] + wander(rng, n, hours, 60, 2.8) + swing * course
        dew = mean[:, None] - swing - rng.uniform(0.0, 5.0, n)[:, None] + wander(rng, n, hours, 40, 2.0)
        self.vapour = np.minimum(vapour_pa(dew), 0.99 * vapour_pa(self.air))
        self.rh = 100 * self.vapour / vapour_pa(self.air)
        gust = np.exp(wander(rng, n, hours, 8, 0.45) + rng.normal(0, 0.35, n)[:, None])
        day_breeze = 1 + 0.35 * np.cos(2 * np.pi * (clock - 14) / 24)
        self.wind_10m = 3.3 * gust * day_breeze          # m/s
        self.shelter = rng.uniform(0.3, 0.75, n)         # wind at the piece over that at 10 m
        self.shaded = rng.random(n) < 0.25
        declination = np.radians(23.45) * np.sin(2 * np.pi * (284 + self.day[:, None] + i / 24) / 365)
        phi = np.radians(self.lat)[:, None]
        hour_angle = np.radians(15.0 * (clock - 12))
        sin_up = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(hour_angle)
        up = np.maximum(sin_up, 1e-3)
        clear = np.where(sin_up > 0, 1098 * up * np.exp(-0.057 / up), 0.0)
        self.cloud = cloud
        self.sun = clear * (1 - 0.75 * cloud ** 3.4) * np.where(self.shaded, 0.2, 1.0)[:, None]
        kelvin = self.air + 273.15
        clear_sky = 1.24 * (self.vapour / 100 / kelvin) ** (1 / 7)
        emissivity = np.minimum(1.0, clear_sky * (1 + 0.22 * cloud ** 2.75))
        self.sky_w_m2 = emissivity * 5.67e-8 * kelvin ** 4
        self.sky_view = np.where(self.shaded, rng.uniform(0.2, 0.5, n), rng.uniform(0.5, 0.95, n))

    def at(self, series, hour):
        x = hour + HOURS_BEFORE
        k = int(np.clip(np.floor(x), 0, series.shape[1] - 2))
        f = x - k
        return series[:, k] * (1 - f) + series[:, k + 1] * f

    def pick(self, series, hours):
        """The series at an hour of its own for each pour."""
        x = np.clip(np.asarray(hours) + HOURS_BEFORE, 0, series.shape[1] - 2)
        k = np.floor(x).astype(int)
        rows = np.arange(series.shape[0])
        return series[rows, k] * (1 - (x - k)) + series[rows, k + 1] * (x - k)


class Mix:
    """What stays the same from pour to pour on one site, and what the bag prints."""

    def __init__(self, rng, n):
        self.class_mpa = rng.choice([20.0, 25.0, 27.6, 30.0, 35.0], n)
        self.is_mean = rng.random(n) < 0.2
        self.prints_7d = rng.random(n) < 0.4
        over = np.where(self.is_mean, factor(rng, n, 0.10), 1.18 * factor(rng, n, 0.11))
        self.f28 = self.class_mpa * over
        # The bag: 30 kg, 14 L, 2.4 to 3.0 L of water; its cement is not printed.
        self.cement_kg = 30 * np.clip(rng.normal(0.14, 0.008, n), 0.115, 0.165)
        self.set20_h = 5.5 * factor(rng, n, 0.20)        # published tables, about 5.5 h at 20 degC
        self.energy = rng.normal(40_000, 4_000, n)       # J/mol, 33 to 45 in the literature
        self.cold_rise = np.where(rng.random(n) < 0.5, rng.uniform(300, 1470, n), 0.0)
        # Affinity: shapes within those published for portland cements; see `check`.
        self.a2 = 10 ** rng.uniform(-2.6, -2.2, n)
        self.eta = rng.uniform(5.8, 7.5, n)
        self.gel_power = rng.uniform(2.6, 3.15, n)
        self.initial_share = rng.uniform(0.14, 0.16, n)  # times w/c (Schindler)
        self.final_share = rng.uniform(0.235, 0.275, n)
        self.bleed_rate = 0.75 * factor(rng, n, 0.30)    # kg/m2/h, 0.5 to 1.5 published
        self.bleed_share = rng.uniform(0.02, 0.05, n)    # of the mixing water
        self.edge = 0.93 * factor(rng, n, 0.10)          # strength of edge over middle
        self.heat_j_kg = rng.normal(470e3, 25e3, n)

    def repeat(self, index):
        twin = object.__new__(Mix)
        for name, value in vars(self).items():
            setattr(twin, name, value[index])
        return twin


class Concrete:
    """One pour of each mix on one day: its hidden numbers and its laws."""

    def __init__(self, rng, mix):
        n = len(mix.f28)
        self.mix = mix
        self.water_l = rng.uniform(2.4, 3.1, n)          # litres a bag, as poured
        hidden = rng.normal(0, 0.06, n)                  # wet sand in the bag, spills
        self.wc = (self.water_l + hidden) / mix.cement_kg
        self.nominal_wc = 2.7 / mix.cement_kg
        self.alpha_end = 1.031 * self.wc / (0.194 + self.wc)   # Mills 1966
        self.initial = mix.initial_share * self.wc
        self.final = mix.final_share * self.wc
        self.k = self._rate_for(mix.set20_h * factor(rng, n, 0.07))
        nominal_end = 1.031 * self.nominal_wc / (0.194 + self.nominal_wc)
        ages, alphas = self.isothermal(self.nominal_wc, nominal_end, 28 * 24)
        gel = self.gel(alphas[-1], self.nominal_wc)
        start = self.gel(mix.final_share * self.nominal_wc, self.nominal_wc)
        self.s = mix.f28 * factor(rng, n, 0.05) / (gel ** mix.gel_power - start ** mix.gel_power)

    def gel(self, alpha, wc):
        return 0.68 * alpha / (0.32 * alpha + wc)

    def affinity(self, alpha, end):
        m = self.mix
        return (m.a2 / end + alpha) * np.maximum(end - alpha, 0) * np.exp(-m.eta * alpha / end)

    def _rate_for(self, set_h):
        """The rate at 20 degC with which `initial` is reached after set_h hours."""
        alpha, t, dt = np.zeros_like(set_h), np.zeros_like(set_h), 0.002
        while (alpha < self.initial).any():
            going = alpha < self.initial
            alpha = np.where(going, alpha + dt * self.affinity(alpha, self.alpha_end), alpha)
            t = np.where(going, t + dt, t)
        return t / set_h

    def isothermal(self, wc, end, hours, dt=0.25):
        alpha, out, ages = np.zeros_like(wc), [], []
        for i in range(int(hours / dt)):
            half = alpha + 0.5 * dt * self.k * self.affinity(alpha, end)
            alpha = alpha + dt * self.k * self.affinity(half, end)
            out.append(alpha)
            ages.append((i + 1) * dt)
        return np.array(ages), out

    def speed(self, t_c):
        m = self.mix
        energy = m.energy + m.cold_rise * np.maximum(20 - t_c, 0)
        return np.exp(energy / GAS * (1 / 293.15 - 1 / (t_c + 273.15)))

    def strength(self, alpha):
        start = self.gel(self.final, self.wc)
        power = self.mix.gel_power
        return self.s * np.maximum(self.gel(alpha, self.wc) ** power - start ** power, 0)


FINISHED_H = 0.75


def truth(rng, weather, concrete, hours=HOURS_AFTER - 2):
    """When each thing really came, hours after the start; inf if not in the time looked at."""
    n = len(concrete.wc)
    mix = concrete.mix
    cells = (n, ROWS + GROUND_ROWS, COLUMNS)
    before = np.mean([weather.at(weather.air, h) for h in range(-24, 0)], axis=0)
    placed = 0.6 * weather.at(weather.air, 0) + 0.4 * before + rng.normal(1.0, 1.5, n)
    t = np.empty(cells)
    t[:, :ROWS] = placed[:, None, None]
    t[:, ROWS:] = before[:, None, None]
    alpha = np.zeros((n, ROWS, COLUMNS))
    cement_m3 = mix.cement_kg / 0.014                    # one bag gives 14 L
    heat = cement_m3 * mix.heat_j_kg
    k_con = rng.uniform(1.6, 2.2, n)[:, None, None]
    k = np.concatenate([np.broadcast_to(k_con, (n, ROWS, COLUMNS)),
                        np.broadcast_to(rng.uniform(0.8, 1.8, n)[:, None, None], (n, GROUND_ROWS, COLUMNS))], axis=1)
    c = np.concatenate([np.full((n, ROWS, COLUMNS), 2.3e6), np.full((n, GROUND_ROWS, COLUMNS), 1.8e6)], axis=1)
    down_k = 2 / (1 / k[:, :-1] + 1 / k[:, 1:])
    absorb = rng.uniform(0.55, 0.72, n)
    board = 0.025 / 0.13
    film = np.zeros(n)
    bled = np.zeros(n)
    bleed_all = mix.bleed_share * concrete.wc * cement_m3 * (ROWS * DX)
    cs = {x: np.full(n, np.inf) for x in
          ('sheen_gone', 'initial_set', 'final_set', 'edge2', 'edge35', 'edge5', 'top35', 'mid7', 'mild',
           'age18', 'age4d', 'share70')}
    mild = np.zeros(n)
    age_edge = np.zeros(n)
    age_mid = np.zeros(n)
    middle = []
    def note(name, h, met):
        cs[name] = np.where(met & np.isinf(cs[name]), h, cs[name])
    steps = int(hours * 3600 / STEP_S)
    dt_h = STEP_S / 3600
    for i in range(steps):
        h = i * dt_h
        air, vapour = weather.at(weather.air, h), weather.at(weather.vapour, h)
        wind = weather.at(weather.wind_10m, h) * weather.shelter
        sun, sky = weather.at(weather.sun, h), weather.at(weather.sky_w_m2, h)
        h_air = 5.7 + 3.8 * wind                          # McAdams 1954
        top = t[:, 0]
        kelvin = top + 273.15
        around = 5.67e-8 * (air + 273.15) ** 4
        incoming = weather.sky_view * sky + (1 - weather.sky_view) * around
        long_wave = 0.92 * (incoming[:, None] - 5.67e-8 * kelvin ** 4)
        # kg/m2/h: Lewis, with the air's density times heat capacity of 1200 J/m3K.
        gradient = vapour_pa(top) / (461.5 * kelvin) - (vapour / (461.5 * (air + 273.15)))[:, None]
        potential = np.maximum(h_air[:, None] / (1200 * 0.9) * gradient, 0) * 3600
        wet = film > 0
        dry_share = 0.12 if h > 4 else 0.5
        evaporates = potential * np.where(wet, 1.0, dry_share)[:, None]
        flow = h_air[:, None] * (air[:, None] - top) + absorb[:, None] * sun[:, None] + long_wave \
            - evaporates * 2.45e6 / 3600
        d = np.zeros(cells)
        d[:, 0] += flow
        vertical = down_k * (t[:, :-1] - t[:, 1:]) / DX
        d[:, :-1] -= vertical
        d[:, 1:] += vertical
        d[:, -1] += 2 * k[:, -1] / DX * (before[:, None] - t[:, -1])
        sideways = k[:, :, 1:] * (t[:, :, :-1] - t[:, :, 1:]) / DX
        d[:, :, :-1] -= sideways
        d[:, :, 1:] += sideways
        resist = 1 / h_air + board + 0.5 * DX / k_con[:, 0, 0]
        d[:, :ROWS, 0] += (air[:, None] - t[:, :ROWS, 0]) / resist[:, None]
        rate = concrete.k[:, None, None] * _affinity(concrete, alpha) * _speed(concrete, t[:, :ROWS])
        grown = np.minimum(rate * dt_h, 0.02)
        alpha = alpha + grown
        t = t + (d * STEP_S / DX) / c
        t[:, :ROWS] += heat[:, None, None] * grown / c[:, :ROWS]
        h += dt_h
        surface = alpha[:, 0, COLUMNS - 1]
        if h >= FINISHED_H:
            left = np.maximum(1 - bled / bleed_all, 0)
            rises = np.where(surface < 0.9 * concrete.initial, mix.bleed_rate * np.sqrt(left), 0.0) * dt_h
            bled = bled + rises
            film = np.maximum(film + rises - evaporates[:, COLUMNS - 1] * dt_h, 0)
            note('sheen_gone', h, (h >= FINISHED_H + 1 / 3) & (film < 0.02))
        note('initial_set', h, surface >= concrete.initial)
        note('final_set', h, surface >= concrete.final)
        edge_alpha = np.minimum(alpha[:, 0, 0], alpha[:, ROWS // 2, 0])
        edge = mix.edge * concrete.strength(edge_alpha)
        top_s = concrete.strength(alpha[:, 0, COLUMNS - 1])
        mid = concrete.strength(alpha[:, ROWS // 2, COLUMNS - 1])
        for name, met in (('edge2', edge >= 2), ('edge35', edge >= 3.5), ('edge5', edge >= 5), ('top35', top_s >= 3.5),
                          ('mid7', mid >= 7), ('share70', mid >= 0.7 * mix.class_mpa)):
            note(name, h, met)
        # BS 8110 table 6.2: vertical forms stay 300/(t + 10) hours, by README never under 12.
        mild += dt_h / np.maximum(300 / np.maximum(air + 10, 1e-3), 12)
        note('mild', h, mild >= 1)
        age_edge += dt_h * np.exp(41_000 / GAS * (1 / 296.15 - 1 / (t[:, 0, 0] + 273.15)))
        note('age18', h, age_edge >= 18)
        age_mid += dt_h * np.exp(41_000 / GAS * (1 / 293.15 - 1 / (t[:, ROWS // 2, -1] + 273.15)))
        note('age4d', h, age_mid >= 96)
        if i % 20 == 0:
            middle.append((h, t[:, ROWS // 2, -1].copy(), edge.copy(), surface / concrete.initial))
    cs['placed'] = placed
    cs['middle'] = middle
    cs['sheen_gone'] = np.minimum(cs['sheen_gone'], cs['initial_set'])
    return cs


def _affinity(concrete, alpha):
    m = concrete.mix
    end = concrete.alpha_end[:, None, None]
    a2, eta = m.a2[:, None, None], m.eta[:, None, None]
    return (a2 / end + alpha) * np.maximum(end - alpha, 0) * np.exp(-eta * alpha / end)


def _speed(concrete, t_c):
    m = concrete.mix
    energy = m.energy[:, None, None] + m.cold_rise[:, None, None] * np.maximum(20 - t_c, 0)
    return np.exp(energy / GAS * (1 / 293.15 - 1 / (t_c + 273.15)))


def check():
    """The shapes that come of it, beside what is published for ordinary cement at 20 degC."""
    rng = np.random.default_rng(1)
    concrete = Concrete(rng, Mix(rng, 400))
    ages, alphas = concrete.isothermal(concrete.wc, concrete.alpha_end, 90 * 24)
    f = {d: concrete.strength(alphas[int(d * 24 / 0.25) - 1]) for d in (0.5, 1, 2, 3, 7, 14, 28, 90)}
    for d, strength in f.items():
        ratio = strength / f[28]
        print(f'{d:5} d: share of 28 d {np.percentile(ratio, [5, 50, 95]).round(3)}  '
              f'alpha {np.median(alphas[int(d * 24 / 0.25) - 1]):.3f}')
    first = np.array([ages[np.argmax(np.array([a[i] for a in alphas]) >= concrete.final[i])] for i in range(100)])
    start = np.array([ages[np.argmax(np.array([a[i] for a in alphas]) >= concrete.initial[i])] for i in range(100)])
    print('final over initial', np.percentile(first / start, [5, 50, 95]).round(2))


if __name__ == '__main__':
    check()
