"""Thousands of random pours through `slowstone calc pour --lines`, held against what an
answer may never say. Nothing of the engine is used; what is asked stands in the contract
of the command (its --help): "now" only after the safe end, nothing heavy before what is
light, no time past setting without the air's temperature, no window that ends before it
begins. `one_answer.py PROGRAM [POURS]`; every contradiction is printed with its input.
"""
import json
import random
import subprocess
import sys

HOUR = 3_600_000
KINDS = ['sheen_gone', 'texture', 'initial_set', 'final_set', 'form_off', 'dress', 'next_step', 'foot', 'full_use',
         'curing_ends', 'seal']
# What carries more must not be allowed before what carries less.
LIGHTER = [('form_off', 'dress'), ('form_off', 'next_step'), ('foot', 'full_use'), ('final_set', 'foot'),
           ('initial_set', 'final_set'), ('final_set', 'form_off')]
PAST_SETTING = ['form_off', 'dress', 'next_step', 'foot', 'full_use', 'curing_ends']
SEEN = ['sheen_gone', 'thumb_deep', 'thumb_6mm', 'thumb_faint', 'thumb_none', 'textured', 'stripped_clean',
        'stripped_stuck', 'scratch_deep', 'scratch_faint', 'scratch_none', 'edge_damaged', 'dressed_easily',
        'dressed_hard', 'walked', 'covered', 'rained', 'froze']
SKIES = ['sun', 'broken', 'overcast', 'shade']


def pour(rng):
    start = 1_767_225_600_000 + rng.randrange(365 * 24) * HOUR
    hours = rng.choice([0, 0.5, 1, 2, 4, 6, 9, 14, 20, 30, 48, 72, 120, 170, 300, 700])
    mean, swing = rng.uniform(-3, 32), rng.uniform(0, 8)
    some = lambda chance: rng.random() < chance
    asked = {'started_ms': start, 'now_ms': int(start + hours * HOUR * rng.uniform(0.8, 1.1)), 'utc_offset_min': rng.choice([0, 60, 330, -480])}
    if some(0.7):
        asked['finished_ms'] = start + int(rng.uniform(0.2, 1.5) * HOUR)
    if some(0.7):
        asked['place'] = {'lat': rng.uniform(-55, 62), 'lon': rng.uniform(-170, 170)}
    if some(0.8):
        asked['piece'] = {'thickness_mm': rng.choice([40, 100, 150, 250]), 'width_mm': rng.choice([600, 1500, 3000]),
                          'depth_mm': rng.choice([300, 400]), 'base': rng.choice(['gravel', 'concrete', 'soil'])}
    if some(0.8):
        asked['mix'] = {'class_28d_mpa': rng.choice([15, 20, 25, 27.6, 35, 45]), 'strengths_are': rng.choice(['minimum', 'mean']),
                        'cement_kg_per_bag': 4.2, 'bag_l': 14.0, 'water_l_per_bag': [2.4, 3.0], 'rapid': some(0.1)}
    asked['dose'] = {'water_l_per_bag': rng.choice([2.0, 2.7, 3.2, 3.9, 4.5]), 'pigment_pct_cement': rng.choice([0, 4, 9]),
                     'retarder': some(0.15), 'accelerator': some(0.15), 'improvised': some(0.15)}
    if some(0.5):
        asked['liner'] = {'relief_mm': rng.choice([3, 12, 25]), 'undercut': some(0.3)}
    asked['surface'] = rng.choice(['dragged', 'pressed'])
    asked['rule_next_step'] = rng.choice(['load', 'handbook'])
    if some(0.85):
        asked['air'] = [{'at_ms': int(start + h * HOUR), 'temp_c': round(mean + rng.uniform(-swing, swing), 1),
                         'rh_pct': rng.uniform(20, 100), 'wind_km_h': rng.uniform(0, 40), 'sky': rng.choice(SKIES)}
                        for h in sorted(rng.uniform(0, hours + 0.01) for _ in range(rng.randrange(1, 7)))]
    if some(0.5):
        asked['concrete'] = [{'at_ms': start + rng.randrange(HOUR), 'temp_c': round(mean + rng.uniform(0, 9), 1), 'place': 'fresh'}]
    asked['observed'] = [{'at_ms': int(start + rng.uniform(0, hours + 0.01) * HOUR), 'what': rng.choice(SEEN), 'confirmed': some(0.3)}
                         for _ in range(rng.choice([0, 0, 1, 2, 4]))]
    return asked


def faults(asked, told):
    now = asked['now_ms']
    by_kind = {m['kind']: m for m in told['milestones']}
    answer = told['answer']
    lists = {name: answer[name] for name in ('now', 'by_touch', 'not_yet')}
    for a, b in (('now', 'by_touch'), ('now', 'not_yet'), ('by_touch', 'not_yet')):
        for kind in set(lists[a]) & set(lists[b]):
            yield f'{kind} is in {a} and in {b}'
    for kind, m in by_kind.items():
        if kind not in KINDS:
            yield f'unknown kind {kind}'
        ends = [m['early_ms'], m['likely_ms'], m['safe_ms']]
        known = [e for e in ends if e is not None]
        if known != sorted(known):
            yield f'{kind}: early, likely, safe are out of order {ends}'
        if ends[0] is None and (ends[1] is not None or ends[2] is not None):
            yield f'{kind}: later ends without an early one {ends}'
        closes = [m.get('closes_early_ms'), m.get('closes_likely_ms')]
        if closes[1] is not None and ends[1] is not None and closes[1] < ends[1]:
            yield f'{kind}: likely closes before it likely opens'
        if closes[0] is not None and ends[0] is not None and closes[0] < ends[0]:
            yield f'{kind}: may close before it may open'
    seen = {k for k, m in by_kind.items() if m.get('seen_ms') is not None}
    for kind in lists['now']:
        m = by_kind.get(kind)
        if m is None:
            yield f'{kind} now, but it has no times'
        elif m['safe_ms'] is None or m['safe_ms'] > now:
            yield f'{kind} is now, but safe only later'
        elif m.get('closes_early_ms') is not None and m['closes_early_ms'] <= now:
            yield f'{kind} is now, but its window may be over'
    for kind in lists['not_yet']:
        m = by_kind.get(kind)
        if m and m['safe_ms'] is not None and m['safe_ms'] <= now:
            yield f'{kind} is not yet, but it was safe before'
    for light, heavy in LIGHTER:
        if heavy in lists['now'] and light in lists['not_yet']:
            yield f'{heavy} now while {light} not yet'
        a, b = by_kind.get(light), by_kind.get(heavy)
        if a and b and light not in seen and heavy not in seen:
            for end in ('early_ms', 'likely_ms', 'safe_ms'):
                if a[end] is not None and b[end] is not None and b[end] < a[end] - 60_000:
                    yield f'{heavy} {end} before {light}'
                if a[end] is None and b[end] is not None:
                    yield f'{heavy} has a time ({end}) while {light} has none'
    if not asked.get('air') and not asked.get('days'):
        for kind in PAST_SETTING:
            if kind in by_kind and by_kind[kind]['safe_ms'] is not None and kind not in seen:
                yield f'{kind} has a time without any air temperature'
        if not any('air' in str(x) for x in told['missing']):
            yield 'the air is not among what is missing'


def main():
    program, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 1000
    rng = random.Random(20261130)
    asked = [pour(rng) for _ in range(count)]
    text = ''.join(json.dumps(a) + '\n' for a in asked)
    done = subprocess.run([program, 'calc', 'pour', '--lines'], input=text, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f'calc pour --lines gave {done.returncode}: {done.stderr.strip()[:500]}')
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    if len(answers) != count:
        sys.exit(f'{count} lines in, {len(answers)} out')
    kinds, shown = {}, 0
    for a, told in zip(asked, answers):
        for fault in faults(a, told):
            kinds[fault] = kinds.get(fault, 0) + 1
            if kinds[fault] == 1 and shown < 12:
                shown += 1
                print(f'{fault}\n  {json.dumps(a)}\n  {json.dumps(told["answer"])}')
    for fault, times in sorted(kinds.items(), key=lambda kv: -kv[1]):
        print(f'{times:6} x {fault}')
    print(f'{count} pours, {sum(kinds.values())} contradictions')
    sys.exit(1 if kinds else 0)


if __name__ == '__main__':
    main()
