/** Fields of a sheet in the order in which a person at the trench edge fills them in: seen, measured, dug, then thought. */

import type { FieldView } from '../../api/schema.ts';
import { groupTitles } from '../../strings/record_groups.ts';

type GroupName = keyof typeof groupTitles;

/** Groups by kind; what no group names stands in the last one. */
const GROUPS: Readonly<Record<string, readonly (readonly [GroupName, string])[]>> = {
  context: [
    ['known', 'kind title units natural key_context'],
    ['seen', 'description colour_moist colour_dry mottles texture compaction inclusions inclusion_frequency sorting deposit_type plan_shape corners break_top side_slope side_shape break_base base_shape orientation truncated tool_marks structure_type material measured_pieces piece_length piece_width piece_height bond courses attitude bonding_agent joint joint_thickness firing wear faces coatings slope timber_type timber_condition conversion disturbance_type notes'],
    ['size', 'thickness_min thickness_max length width depth'],
    ['edges', 'told_apart_by boundary boundary_form edge_north edge_east edge_south edge_west'],
    ['belongs', 'fill_of fill_position cut_from cut_from_shown construction_cut open_because'],
    ['dug', 'tools dug section_share sieved litres reliability contamination disturbed left_in_place conditions'],
    ['means', 'interpretation reasons alternatives confidence formation deposition deliberate cut_function'],
    ['dated', 'spot_begin spot_end spot_by phase phase_note'],
    ['signed', 'recorded_by recorded_on checked_by checked_on term_list'],
  ],
  unit: [
    ['why', 'reason question sampling_plan'],
    ['laidOut', 'shape design_width design_length corners sides diagonals datum_corner ties'],
    ['before', 'surface_before opening_levels opened'],
    ['dug', 'method mesh sieved recovery protection depth_by_day conditions notes'],
    ['end', 'depth stop_reason probe base_levels unexcavated unexcavated_note walls_with_layers closed'],
    ['signed', 'recorded_by recorded_on checked_by checked_on term_list'],
  ],
  photo: [
    ['shows', 'subject contexts unit facing walls shows_base kind stage'],
    ['inPicture', 'scale north board in_focus'],
    ['file', 'day photographer file_name'],
    ['signed', 'recorded_by recorded_on checked_by checked_on notes'],
  ],
  find: [
    ['from', 'context recovery at_change registered easting northing level'],
    ['what', 'material object type count mass condition notes'],
    ['dated', 'begin end date_source'],
    ['kept', 'status kept_at'],
    ['signed', 'recorded_by recorded_on checked_by checked_on term_list'],
  ],
};

export interface Group {
  readonly name: GroupName;
  readonly title: string;
  readonly fields: readonly FieldView[];
}

/** Fields that a sheet shows elsewhere or not at all. */
const ELSEWHERE: readonly string[] = ['number', 'void', 'id', 'absences'];
const SIGNED = 'recorded_by recorded_on checked_by checked_on term_list conditions';

/** Return the groups of a sheet with the fields that belong to a record of that sort; every field stands in exactly one. */
export function groupsOf(kind: string, fields: readonly FieldView[], sort: string): Group[] {
  const belong = fields.filter((field) => !ELSEWHERE.includes(field.name) && (field.applies.length === 0 || field.applies.includes(sort)));
  const byName = new Map(belong.map((field) => [field.name, field]));
  const taken = new Set<string>();
  const named = GROUPS[kind] ?? [['rest', belong.map((field) => field.name).filter((name) => !SIGNED.split(' ').includes(name)).join(' ')] as const, ['signed', SIGNED] as const];
  const groups = named.map(([name, list]) => {
    const held = list.split(' ').map((one) => byName.get(one)).filter((field) => field !== undefined);
    for (const field of held) taken.add(field.name);
    return { name, title: groupTitles[name], fields: held };
  });
  const rest = belong.filter((field) => !taken.has(field.name));
  if (rest.length > 0) groups.splice(-1, 0, { name: 'rest', title: groupTitles.rest, fields: rest });
  return groups.filter((group) => group.fields.length > 0);
}

/** Groups whose blanks cannot be filled once the unit is filled in. */
export const LOST_GROUPS: readonly GroupName[] = ['seen', 'size', 'edges', 'belongs', 'dug'];

/** Fields that take a few words. */
export const SHORT: ReadonlySet<string> = new Set(['title', 'recorded_by', 'checked_by', 'term_list', 'datum_corner', 'photographer', 'facing', 'file_name', 'object', 'type', 'kept_at', 'crew', 'point', 'instrument', 'observer', 'name', 'who', 'to', 'time', 'by', 'drawn_by', 'cut_from_shown', 'spot_by', 'date_source']);
