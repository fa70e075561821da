"""What people log of a pour in world.py, as input of `slowstone calc pour`.

Four habits: `once` (one look at a thermometer), `usual` (some readings, mostly a forecast,
looks when there is time), `keen` (a thermometer every three hours, also in the concrete,
looks often), and `obeys` (usual, and every act at the very end that is called safe).
Thermometers err, one in twelve hangs in the sun, thumbs and eyes err, forecasts get worse
from day to day. Only what was known at the time of asking is handed on.
"""
import numpy as np
from world import FINISHED_H, HOURS_BEFORE

HOUR_MS = 3_600_000
YEAR_START_MS = 1_767_225_600_000    # 2026-01-01T00:00Z; clocks are local solar time
HABITS = ('once', 'usual', 'keen')


class Site:
    """The pours of one habit: who measures how, fixed for each pour."""

    def __init__(self, rng, habit, weather, concrete, truth, handbook=False):
        self.rng, self.habit, self.w, self.c, self.truth = rng, habit, weather, concrete, truth
        self.n = len(concrete.wc)
        self.handbook = handbook
        self.bias = rng.normal(0, 0.6, self.n)
        self.in_sun = rng.random(self.n) < 1 / 12
        self.start = [int(YEAR_START_MS + ((d - 1) * 24 + c) * HOUR_MS - round(0) )
                      for d, c in zip(weather.day, weather.start_clock)]
        self.has_forecast = rng.random(self.n) < 0.75
        self.readings = [self._readings(i) for i in range(self.n)]
        self.forecast = [self._forecast(i) for i in range(self.n)]
        self.core = [self._core(i) for i in range(self.n)]
        self.seen = [self._seen(i) for i in range(self.n)]
        self.lined = rng.random(self.n) < 0.5
        self.water = concrete.water_l * np.exp(rng.normal(0, 0.02, self.n))

    def ms(self, i, hour):
        return int(self.start[i] + hour * HOUR_MS)

    def _one(self, series, i, hour):
        x = np.clip(hour + HOURS_BEFORE, 0, series.shape[1] - 2)
        k = int(x)
        return float(series[i, k] * (1 - (x - k)) + series[i, k + 1] * (x - k))

    def _sky(self, i, hour):
        if self.w.shaded[i]:
            return 'shade'
        cloud = self._one(self.w.cloud, i, hour)
        return 'sun' if cloud < 0.3 else 'broken' if cloud < 0.7 else 'overcast'

    def _readings(self, i):
        rng = self.rng
        hours = {'once': [0.0],
                 'usual': [0.0, rng.uniform(1, 2), rng.uniform(6, 11), rng.uniform(20, 27), rng.uniform(40, 55)],
                 'keen': [3.0 * k for k in range(0, 40)]}[self.habit]
        out = []
        for hour in hours:
            temp = self._one(self.w.air, i, hour) + self.bias[i] + rng.normal(0, 0.4)
            if self.in_sun[i]:
                temp += 0.008 * self._one(self.w.sun, i, hour)
            reading = {'hour': hour, 'temp_c': round(temp, 1)}
            if self.habit != 'once' or rng.random() < 0.5:
                reading['rh_pct'] = round(float(np.clip(self._one(self.w.rh, i, hour) + rng.normal(0, 6), 8, 100)))
            if self.habit != 'once' or rng.random() < 0.5:
                wind = 3.6 * self._one(self.w.wind_10m, i, hour) * self.w.shelter[i]
                reading['wind_km_h'] = round(float(wind * np.exp(rng.normal(0, 0.25))), 1)
            reading['sky'] = self._sky(i, hour)
            out.append(reading)
        return out

    def _forecast(self, i):
        """Lowest and highest of the days to come, as heard on the morning of the pour."""
        if self.habit == 'once' or not self.has_forecast[i]:
            return []
        out = []
        midnight = -int(self.w.start_clock[i])
        for day in range(7):
            hours = [midnight + 24 * day + k for k in range(24)]
            air = [self._one(self.w.air, i, h) for h in hours]
            off = 0.9 + 0.25 * day
            low, high = min(air) + self.rng.normal(0, off), max(air) + self.rng.normal(0, off)
            date = np.datetime64(self.start[i] + (24 * day) * HOUR_MS, 'ms').astype('datetime64[D]')
            noon = midnight + 24 * day + 13
            out.append({'date': str(date), 'min_c': round(min(low, high), 1), 'max_c': round(max(low, high), 1),
                        'rh_pct': round(float(np.clip(self._one(self.w.rh, i, noon) + self.rng.normal(0, 9), 10, 100))),
                        'sky': self._sky(i, noon)})
        return out

    def _core(self, i):
        rng = self.rng
        out = []
        if self.habit != 'once':
            out.append((0.3, 'fresh', self.truth['placed'][i]))
        if self.habit == 'keen':
            for hour in (2.0, 8.0, 24.0, 48.0):
                h, t, _, _ = min(self.truth['middle'], key=lambda m: abs(m[0] - hour))
                out.append((hour, 'middle', t[i]))
        return [{'hour': h, 'place': p, 'temp_c': round(float(t + rng.normal(0, 0.6)), 1)} for h, p, t in out]

    def _seen(self, i):
        """Looks at times of their own: what eye and thumb then say."""
        rng, truth = self.rng, self.truth
        looks = {'once': [], 'usual': sorted(rng.uniform(1.2, 9, 3)), 'keen': list(np.arange(1.0, 12, 0.75))}[self.habit]
        out, sheen_seen, eye = [], False, np.exp(rng.normal(0, 0.1))
        thumb = np.exp(rng.normal(0, 0.1))
        initial, final = truth['initial_set'][i], truth['final_set'][i]
        for hour in looks:
            if not sheen_seen and hour > truth['sheen_gone'][i] * eye:
                sheen_seen = True
                if self.habit == 'keen':
                    out.append((hour, 'sheen_gone'))
            felt = hour * thumb * np.exp(rng.normal(0, 0.04))
            if felt < 0.8 * initial:
                out.append((hour, 'thumb_deep'))
            elif felt < 1.12 * initial:
                out.append((hour, 'thumb_6mm'))
            elif felt < 0.95 * final:
                out.append((hour, 'thumb_faint'))
            elif felt > final:
                out.append((hour, 'thumb_none'))
                break
        return [{'hour': h, 'what': w} for h, w in out]

    def ask(self, i, until_h, earlier=(), more=()):
        """One input object with what was known `until_h` hours after the start."""
        w, m = self.w, self.c.mix
        known = lambda rows: [r for r in rows if r['hour'] <= until_h]
        def at(row):
            return {'at_ms': self.ms(i, row['hour']), **{k: v for k, v in row.items() if k != 'hour'}}
        mix = {'class_28d_mpa': float(m.class_mpa[i]), 'strengths_are': 'mean' if m.is_mean[i] else 'minimum',
               'bag_l': 14.0, 'cement_kg_per_bag': 4.2, 'water_l_per_bag': [2.4, 3.0]}
        if m.prints_7d[i]:
            mix['class_7d_mpa'] = round(0.625 * float(m.class_mpa[i]), 1)
        return {
            'started_ms': self.start[i], 'finished_ms': self.ms(i, FINISHED_H), 'now_ms': self.ms(i, until_h),
            'utc_offset_min': 0, 'place': {'lat': round(float(w.lat[i]), 1), 'lon': 0.0},
            'piece': {'thickness_mm': 150, 'width_mm': 3000, 'depth_mm': 360, 'base': 'gravel'},
            'mix': mix, 'dose': {'water_l_per_bag': round(float(self.water[i]), 2)},
            'form': {'material': 'timber', 'thickness_mm': 25},
            'liner': {'relief_mm': 12, 'undercut': True} if self.lined[i] else None,
            'rule_next_step': 'handbook' if self.handbook else 'load',
            'surface': 'dragged',
            'air': [at(r) for r in known(self.readings[i])],
            'days': self.forecast[i],
            'concrete': [at(r) for r in known(self.core[i])],
            'observed': [at(r) for r in known(self.seen[i])] + [at(r) for r in more],
            'earlier': list(earlier),
        }
