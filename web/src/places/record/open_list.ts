/** What is lost once the unit is filled in and is not done yet: what this device can tell by itself, then the last closing check. */

import type { ClosingView, FindingLine } from '../../api/schema.ts';
import { all, labelOf, pointing, type Held } from '../../offline/index.ts';
import { orderedOf } from '../../parts/device_order.svelte.ts';
import { ORDERING, SAME } from '../../parts/loop.ts';
import { record as say } from '../../strings/record.ts';
import { to, toDraw } from './address.ts';
import { lostBlanksOf } from './blanks.ts';
import { sideWanting } from './sides.ts';

export interface OpenLine {
  readonly key: string;
  readonly says: string;
  /** Address of where it is mended. */
  readonly mend: string;
}

const NAMED = 3;
/** A cut has no surface of its own making, a disturbance often none that can be levelled. */
const LEVELLED: readonly string[] = ['deposit', 'fill', 'surface', 'structure'];

/** Return what the device itself can tell, context by context, latest first. */
export function openOnDevice(unit: Held, stack: readonly Held[]): OpenLine[] {
  const followUps = all('follow_up')
    .filter((one) => (one.values['state'] ?? 'open') === 'open' && (one.values['lost'] ?? 'lost for good') === 'lost for good' && one.values['unit'] === unit.id)
    .map((one) => ({ key: one.id, says: say.openFollowUp(labelOf(one.id), String(one.values['asks'] ?? '')), mend: to('sheet', one.id) }));
  return [...followUps, ...lineOf(unit), ...stack.flatMap((context) => ofContext(context))];
}

function lineOf(one: Held): OpenLine[] {
  const blank = lostBlanksOf(one);
  if (blank.length === 0) return [];
  const more = blank.length - NAMED;
  const named = blank.slice(0, more > 0 ? NAMED : undefined).map((field) => field.label).join('; ');
  return [{ key: `${one.id} blank`, says: say.openBlank(nameOf(one), named + (more > 0 ? say.andMore(more) : '')), mend: to('sheet', one.id, blank[0]?.name ?? '') }];
}

function nameOf(one: Held): string {
  return one.kind === 'unit' ? say.openUnit(labelOf(one.id)) : say.openContext(labelOf(one.id));
}

function ofContext(context: Held): OpenLine[] {
  const { id } = context;
  const name = nameOf(context);
  const kind = String(context.values['kind'] ?? '');
  const relations = [...pointing('relation', 'later', id), ...pointing('relation', 'earlier', id)];
  const surfaces = pointing('level', 'context', id).map((level) => level.values['surface']);
  const lines = lineOf(context);
  const add = (what: string, says: string, mend: string): number => lines.push({ key: `${id} ${what}`, says, mend });
  if (!relations.map(orderedOf).some((relation) => ORDERING.includes(relation.how) || SAME.includes(relation.how))) add('floats', say.openFloats(name), to('relate', id));
  if (LEVELLED.includes(kind) && !surfaces.includes('top')) add('top', say.openNoTop(name), to('levels', '', id));
  if (pointing('outline', 'context', id).length === 0) add('outline', say.openNoOutline(name), toDraw(context));
  if (pointing('photo', 'contexts', id).length === 0) add('photo', say.openNoPhoto(name), to('photo', id));
  for (const relation of relations) if (sideWanting(relation) === id) add(`side ${relation.id}`, say.openOneSided(labelOf(relation.id), labelOf(id)), to('sheet', id));
  return lines;
}

/** Rules of the closing check that the device answers by itself, so that nothing is asked for twice. */
const ANSWERED: readonly string[] = ['B12', 'B14', 'B26', 'B27', 'B28', 'B39', 'B46'];

/** The field or page that mends a rule; without one its first record's sheet is opened. */
const MENDS: Readonly<Record<string, { page: string; field?: string }>> = {
  B03: { page: 'levels' },
  B04: { page: 'levels' },
  B06: { page: 'levels' },
  B08: { page: 'unit', field: 'base_levels' },
  B13: { page: 'relate' },
  B01: { page: 'unit', field: 'sides' },
  B02: { page: 'unit', field: 'ties' },
  B11: { page: 'sheet', field: 'easting' },
  B15: { page: 'sheet', field: 'open_because' },
  B16: { page: 'sheet', field: 'fill_of' },
  B18: { page: 'sheet', field: 'cut_from' },
  B19: { page: 'sheet', field: 'construction_cut' },
  B29: { page: 'sample' },
  B30: { page: 'sheet', field: 'reasons' },
  B31: { page: 'sheet', field: 'contamination' },
  B32: { page: 'sheet', field: 'edge_north' },
  B34: { page: 'unit', field: 'stop_reason' },
  B47: { page: 'photo' },
  B48: { page: 'photo' },
  B49: { page: 'sheet', field: 'in_focus' },
  B53: { page: 'sheet', field: 'sieved' },
  B54: { page: 'sheet', field: 'litres' },
  B57: { page: 'sheet', field: 'easting' },
  B60: { page: 'remains' },
  B61: { page: 'remains' },
  B66: { page: 'sheet', field: 'checked_by' },
  B67: { page: 'backfill' },
  B68: { page: 'backfill' },
  B70: { page: 'backfill' },
};

/** Return the findings of a closing check that are lost for good and still open, those on the stop-list first. */
export function openInCheck(check: ClosingView, unit: Held): OpenLine[] {
  return check.findings
    .filter((one) => one.severity === 'lost for good' && ['fail', 'cannot tell'].includes(one.outcome) && !ANSWERED.includes(one.rule))
    .sort((one, other) => Number(other.blocks) - Number(one.blocks))
    .map((one) => ({ key: one.rule, says: one.says, mend: mendOf(one, unit) }));
}

function mendOf(finding: FindingLine, unit: Held): string {
  const { page, field = '' } = MENDS[finding.rule] ?? { page: 'sheet' };
  if (page === 'unit') return to('sheet', unit.id, field);
  const first = finding.records[0];
  if (page === 'sheet') return to('sheet', first?.id ?? unit.id, field);
  if (page === 'backfill' && pointing('backfill', 'unit', unit.id)[0]) return to('sheet', pointing('backfill', 'unit', unit.id)[0]?.id ?? '');
  return first?.kind === 'context' ? (page === 'levels' ? to('levels', '', first.id) : to(page, first.id)) : to(page);
}
