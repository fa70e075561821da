// Which fields a record has and how they are asked for. One table drives every form: add,
// change, and the names in a history. Ranges are in LIMITS, words in the Fluent file.

import type { Kind, Observed, SecondPour, Sky } from './types.gen';
import { quantityOf, type Quantity } from './units';

export type Editable = Extract<
  Kind,
  | 'site'
  | 'flight'
  | 'step'
  | 'mix'
  | 'additive'
  | 'form'
  | 'liner'
  | 'pour'
  | 'batch'
  | 'reading'
  | 'forecast'
  | 'observation'
  | 'photo'
  | 'layout'
  | 'rules'
  | 'materials'
  | 'crew'
  | 'card'
  | 'colour'
>;

export interface FieldSpec {
  name: string;
  type: 'text' | 'note' | 'number' | 'time' | 'date' | 'choice' | 'yes' | 'ref' | 'doses';
  /** Must be given. */
  need?: boolean;
  /** A text that may be empty but is always written. */
  empty?: boolean;
  choices?: readonly string[];
  /** Prefix of the words of the choices. */
  words?: string;
  /** List of the site that a reference points into. */
  of?: 'flights' | 'steps' | 'mixes' | 'additives' | 'forms' | 'liners' | 'pours';
  quantity?: Quantity;
  /** Value of a new record. */
  start?: unknown;
}

export const SKIES: readonly Sky[] = ['sun', 'broken', 'overcast', 'shade'];
export const SECOND_POURS: readonly SecondPour[] = ['replaces', 'layer'];
export const OBSERVED: readonly Observed[] = [
  'sheen_gone',
  'thumb_deep',
  'thumb_6mm',
  'thumb_faint',
  'thumb_none',
  'thumb_mark',
  'textured',
  'stripped_clean',
  'stripped_stuck',
  'scratch_deep',
  'scratch_faint',
  'scratch_none',
  'edge_damage',
  'cracked',
  'dressed_easily',
  'dressed_hard',
  'wetted',
  'covered',
  'uncovered',
  'shaded',
  'rain',
  'frost',
  'walked',
  'curing_ended',
  'sealed',
  'strength',
  'note',
];
export const STAGES = [
  'base',
  'form',
  'mesh',
  'fresh',
  'texture',
  'setting',
  'form_off',
  'green',
  'curing',
  'usable',
  'done',
] as const;

const text = (name: string, need = true): FieldSpec => ({ name, type: 'text', need, empty: !need });
const note: FieldSpec = { name: 'note', type: 'note', empty: true };
const num = (name: string, start?: number, need = true): FieldSpec => ({
  name,
  type: 'number',
  need,
  start,
  quantity: quantityOf(name),
});
const opt = (name: string): FieldSpec => num(name, undefined, false);
const ref = (name: string, of: FieldSpec['of'], need = false): FieldSpec => ({ name, type: 'ref', of, need });
const choice = (name: string, choices: readonly string[], words: string, need = true): FieldSpec => ({
  name,
  type: 'choice',
  choices,
  words,
  need,
  start: need ? choices[0] : undefined,
});
const yes = (name: string): FieldSpec => ({ name, type: 'yes' });
const sky = choice('sky', SKIES, 'sky-', false);
const air = [opt('air_c'), opt('rh_pct'), opt('wind_kmh'), sky];

export const SCHEMA: Record<Editable, FieldSpec[]> = {
  site: [
    text('name'),
    text('place', false),
    text('tz'),
    choice('units', ['metric', 'us'], 'opt-'),
    opt('lat'),
    opt('lon'),
  ],
  flight: [text('name'), note],
  step: [
    ref('flight', 'flights', true),
    num('number', 1),
    text('name', false),
    num('width_m', 1.2),
    num('depth_m', 0.45),
    num('rise_m', 0.16),
    yes('on_step_below'),
  ],
  mix: [
    text('name'),
    num('bag_kg', 30),
    num('yield_l', 14),
    num('water_min_l', 2.4),
    num('water_max_l', 3),
    num('cement_pct', 14),
    num('class_mpa', 27.6),
    { ...opt('class_7d_mpa'), start: 17.2 },
    opt('class_3d_mpa'),
    opt('class_1d_mpa'),
    choice('strengths_are', ['minimum', 'mean'], 'opt-', false),
    opt('initial_set_h'),
    yes('rapid'),
    note,
  ],
  additive: [
    text('name'),
    choice('kind', ['pigment', 'plasticiser', 'accelerator', 'retarder', 'fibre', 'improvised', 'other'], 'opt-'),
    choice('tone', ['light', 'dark'], 'opt-', false),
    yes('liquid'),
    opt('min_pct'),
    opt('max_pct'),
    note,
  ],
  form: [text('name'), choice('material', ['timber', 'plywood', 'steel', 'plastic'], 'opt-'), num('board_mm', 38)],
  liner: [text('name'), num('relief_mm', 6), yes('undercut')],
  pour: [
    ref('step', 'steps'),
    choice('second_pour', SECOND_POURS, 'second-', false),
    text('name', false),
    { name: 'started_ms', type: 'time', need: true },
    { name: 'finished_ms', type: 'time' },
    opt('air_c'),
    opt('concrete_c'),
    opt('rh_pct'),
    opt('wind_kmh'),
    sky,
    ref('mix', 'mixes'),
    ref('form', 'forms'),
    ref('liner', 'liners'),
    text('liner_side', false),
    note,
  ],
  batch: [num('bags', 2), opt('water_l'), { name: 'additives', type: 'doses' }, { name: 'at_ms', type: 'time' }, note],
  reading: [
    { name: 'at_ms', type: 'time', need: true },
    air[0]!,
    opt('concrete_c'),
    choice('place', ['fresh', 'edge', 'middle', 'top'], 'opt-', false),
    ...air.slice(1),
    note,
  ],
  forecast: [{ name: 'date', type: 'date', need: true }, num('min_c'), num('max_c'), ...air.slice(1)],
  observation: [choice('what', OBSERVED, 'seen-'), { name: 'at_ms', type: 'time', need: true }, opt('mpa'), note],
  layout: [opt('bank_rise_m'), opt('bank_run_m'), num('overlap_m'), num('fall_pct'), num('base_m'), num('drain_m')],
  rules: [
    text('name', false),
    ...[
      'riser_max_mm',
      'going_min_mm',
      'variation_max_mm',
      'two_r_plus_t_min_mm',
      'two_r_plus_t_max_mm',
      'fall_min_pct',
      'fall_max_pct',
    ].map((f) => num(f)),
  ],
  materials: [
    ref('mix', 'mixes'),
    num('waste_pct'),
    num('mixer_l'),
    num('mesh_gap_mm'),
    num('rubber_mm'),
    num('rubber_kg_l'),
    num('rubber_waste_pct'),
  ],
  crew: [
    ...['from_h', 'until_h'].map((f) => num(f)),
    opt('forms'),
    ...['pour_h', 'wash_h', 'dry_h', 'reset_h'].map((f) => num(f)),
  ],
  // What was measured is measured again, not typed over.
  card: [text('name')],
  colour: [ref('pour', 'pours'), choice('state', ['dry', 'damp', 'wet'], 'wet-', false)],
  photo: [
    ref('pour', 'pours'),
    ref('step', 'steps'),
    choice('stage', STAGES, 'stage-', false),
    { name: 'taken_ms', type: 'time', need: true },
    note,
  ],
};

/** Word of a field in a kind; two kinds share the name `place` for different things. */
export function fieldWord(kind: string, field: string): string {
  return kind === 'reading' && field === 'place' ? 'f-place_in' : `f-${field}`;
}

/** Values of a new record at the instant `now`, before anything is typed. */
export function fresh(kind: Editable, now: number): Record<string, unknown> {
  const body: Record<string, unknown> = {};
  for (const f of SCHEMA[kind]) {
    if (f.start !== undefined) body[f.name] = f.start;
    else if (f.type === 'time' && f.need) body[f.name] = now;
    else if (f.type === 'yes') body[f.name] = false;
    else if (f.type === 'doses') body[f.name] = [];
    else if (f.empty) body[f.name] = '';
  }
  return body;
}

/** The body as it is sent: without empty optional values. */
export function clean(body: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(body).filter(([, v]) => v !== null && v !== undefined));
}

/** What a correction has to say: every field that differs, `null` for an emptied one. */
export function differences(before: Record<string, unknown>, after: Record<string, unknown>): Record<string, unknown> {
  const changes: Record<string, unknown> = {};
  for (const key of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const a = before[key] ?? null;
    const b = after[key] ?? null;
    if (JSON.stringify(a) !== JSON.stringify(b)) changes[key] = b;
  }
  return changes;
}
