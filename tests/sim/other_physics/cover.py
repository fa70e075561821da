"""Asks `slowstone calc pour --lines` about the pours of world.py and tells one table: for
every milestone and habit, how often the truth lay within early and safe (cover), how often
it came after "safe" (risk), how wide the range is and how many hours waiting for "safe"
costs. `cover.py PROGRAM [POURS] [--check]`; with --check it fails where a cell is out of
the aim by more than chance. It shares nothing with the engine but the command.
"""
import json
import os
import subprocess
import sys
import numpy as np
from people import HABITS, HOUR_MS, Site
from world import Concrete, Mix, Weather, truth

# What is asked when, in hours after the start.
ASKED = {'sheen_gone': 1.0, 'initial_set': 1.5, 'final_set': 1.5, 'form_off plain': 20.0, 'form_off liner': 20.0,
         'next_step load': 20.0, 'next_step handbook': 26.0, 'foot': 20.0, 'full_use': 48.0}

# Cells that miss the aim and are told in DEVELOPERS.md: four days of air are not known from
# one look at a thermometer.
TOLD = {('next_step handbook', 'once')}


def truths(t):
    """Hours at which each milestone's criterion was really met: by the table of README.md
    and the rules of the trade that it names, not by the engine's formulas."""
    stays = np.maximum(np.maximum(t['mild'], t['age18']), t['final_set'])
    plain, liner = np.maximum(stays, t['edge2']), np.maximum(stays, t['edge5'])
    foot = np.maximum(t['top35'], t['final_set'])
    return {'sheen_gone': t['sheen_gone'], 'initial_set': t['initial_set'], 'final_set': t['final_set'],
            'form_off plain': plain, 'form_off liner': liner, 'foot': foot,
            # A step of 150 mm under one like it: its load asks less than the least, 3.5 MPa.
            'next_step load': np.maximum(t['edge35'], foot), 'next_step handbook': np.maximum(t['age4d'], t['mid7']),
            'full_use': np.maximum(np.maximum(168.0, t['share70']), foot)}


def run(program, objects):
    """The answers of one process, in order."""
    text = '\n'.join(json.dumps(o) for o in objects) + '\n'
    done = subprocess.run([program, 'calc', 'pour', '--lines'], input=text, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f'calc pour --lines gave {done.returncode}: {done.stderr.strip()[:500]}')
    return [json.loads(line) for line in done.stdout.splitlines()]


def hours(answer, kind, start):
    """Early, likely and safe of a milestone, in hours; infinite where it is never reached."""
    for m in answer['milestones']:
        if m['kind'] == kind:
            return [np.inf if m[k] is None else (m[k] - start) / HOUR_MS for k in ('early_ms', 'likely_ms', 'safe_ms')]
    return [np.inf] * 3


class Cell:
    """The pours of one milestone and habit."""

    def __init__(self):
        self.rows = []

    def add(self, real, early, likely, safe):
        self.rows.append((real, early, likely, safe))

    def figures(self):
        real, early, likely, safe = np.array(self.rows).T
        slack = 0.1                                       # six minutes are no miss
        after = real > safe + slack
        before = real < early - slack
        ends = np.isfinite(safe) & np.isfinite(real)
        lost = np.median((safe - real)[ends]) if ends.any() else np.nan
        width = np.median((safe - early)[ends]) if ends.any() else np.nan
        ratio = np.median((likely / real)[ends]) if ends.any() else np.nan
        return {'n': len(real), 'cover': 100 * np.mean(~after & ~before), 'risk': 100 * np.mean(after),
                'before': 100 * np.mean(before), 'width_h': width, 'lost_h': lost, 'likely': ratio,
                'no_end': 100 * np.mean(~np.isfinite(safe))}


def world(seed, n, mix=None):
    rng = np.random.default_rng(seed)
    mix = mix or Mix(rng, n)
    weather, concrete = Weather(rng, n), None
    concrete = Concrete(rng, mix)
    return rng, weather, concrete, truth(rng, weather, concrete)


def wants(name, site, i):
    if name == 'form_off plain':
        return not site.lined[i]
    if name == 'form_off liner':
        return bool(site.lined[i])
    if name.startswith('next_step'):
        return site.handbook == name.endswith('handbook')
    return True


def measure(program, habit, site, real, cells, earlier=None, label=None):
    asked = sorted(set(ASKED.values()))
    objects, where = [], []
    for i in range(site.n):
        for hour in asked:
            names = [k for k, h in ASKED.items() if h == hour and wants(k, site, i)]
            if names:
                objects.append(site.ask(i, hour, earlier[i] if earlier else ()))
                where.append((i, names))
    for (i, names), answer in zip(where, run(program, objects)):
        for name in names:
            early, likely, safe = hours(answer, name.split()[0], site.start[i])
            truth_of = real[name]
            if name.startswith('next_step'):
                strip = real['form_off liner' if site.lined[i] else 'form_off plain'][i]
                hour = max(truth_of[i], strip)
            else:
                hour = truth_of[i]
            cells.setdefault((name, label or habit), Cell()).add(hour, early, likely, safe)


def obeys(program, n, cells, steps=5):
    """Sites where every act waits for "safe": does the engine still learn, and stay safe?"""
    rng = np.random.default_rng(77)
    mix = Mix(rng, n)
    earlier = [[] for _ in range(n)]
    for step in range(steps):
        rng, weather, concrete, t = world(7700 + step, n, mix)
        site = Site(rng, 'usual', weather, concrete, t)
        site.lined = np.arange(n) % 2 == 0
        real = truths(t)
        if step in (0, steps - 1):
            measure(program, 'obeys', site, real, cells, earlier, f'obeys, step {step + 1}')
        answers = run(program, [site.ask(i, 30.0, earlier[i]) for i in range(n)])
        for i, answer in enumerate(answers):
            name = 'form_off liner' if site.lined[i] else 'form_off plain'
            safe = hours(answer, 'form_off', site.start[i])[2]
            more = []
            if np.isfinite(safe):
                more.append({'hour': safe, 'what': 'stripped_clean' if real[name][i] <= safe else 'stripped_stuck'})
            done = site.ask(i, 24.0 * 7, (), more)
            earlier[i] = earlier[i] + [{k: v for k, v in done.items() if k not in ('earlier', 'now_ms')}]


def main():
    words = [w for w in sys.argv[1:] if not w.startswith('--')]
    program, n = words[0], int(words[1]) if len(words) > 1 else 300
    cells = {}
    seed = int(os.environ.get('SLOWSTONE_SEED', 4242))
    for handbook in (False, True):
        rng, weather, concrete, t = world(seed + handbook, n)
        real = truths(t)
        for habit in HABITS:
            measure(program, habit, Site(np.random.default_rng(seed + 5), habit, weather, concrete, t, handbook), real, cells)
    obeys(program, max(n // 2, 20), cells)
    print('| milestone | habit | pours | cover % | risk after "safe" % | before early % | width h | hours lost | likely over truth | without an end % |')
    print('|---|---|---|---|---|---|---|---|---|---|')
    out = []
    for (name, habit), cell in sorted(cells.items(), key=lambda kv: (list(ASKED).index(kv[0][0]), kv[0][1])):
        f = cell.figures()
        print(f"| {name} | {habit} | {f['n']} | {f['cover']:.0f} | {f['risk']:.1f} | {f['before']:.1f} | "
              f"{f['width_h']:.1f} | {f['lost_h']:.1f} | {f['likely']:.2f} | {f['no_end']:.0f} |")
        # Thrice the standard error of a binomial sample: more than thirty cells are held.
        chance = lambda p: 300 * np.sqrt(p * (1 - p) / max(f['n'], 1))
        if (name, habit.split(',')[0]) in TOLD:
            continue
        if f['risk'] > 7 + chance(0.07) or not 85 - chance(0.85) <= f['cover'] <= 95 + chance(0.95):
            out.append(f"{name}, {habit}: cover {f['cover']:.0f} %, risk {f['risk']:.1f} %")
    if out:
        print('\nOut of the aim (cover 85 to 95 %, risk at most 7 %):', *out, sep='\n  ')
    if '--check' in sys.argv and out:
        sys.exit(1)


if __name__ == '__main__':
    main()
