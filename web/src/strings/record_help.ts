/** Examples of good description, invented for the yard of Otter Weir; by kind of record and field, some by kind of context. */

const EXAMPLES: Readonly<Record<string, string>> = {
  'context.title deposit': 'Ash levelling',
  'context.title cut': 'Robber trench, north side',
  'context.title structure': 'Curved setting of setts',
  'context.description deposit':
    'Grey ash, soft, in lenses 10 to 30 mm thick that dip to the west. Frequent clinker to 40 mm, occasional brick dust. Even top; sharp, smooth base. Thins to nothing 0.3 m short of the east side.',
  'context.description fill':
    'Brown silt loam, friable, with lumps of yellow clay near the base and no lenses. Moderate brick fragments to 60 mm, angular, in no order. Looser along the north side. Base follows the cut.',
  'context.description cut':
    'Round in plan, 0.62 m across at the top, 0.50 m at the base. Sharp break at the top; sides near-vertical, undercut for 0.1 m on the east; base flat with a shallow dip in the middle.',
  'context.description structure':
    'One course of granite setts on edge, long axes along a curve that opens to the south. Dry-laid on sand. North face worn; south face rough. Ends broken at both sides of the unit.',
  'context.description surface': 'Trodden cinders, 20 mm thick, hard, with two parallel ruts 1.1 m apart running north. Falls 40 mm to the drain. Patched with brick at the east side.',
  'context.description timber': 'Stake, squared, 60 by 60 mm, point down, leaning 5° to the west. Waterlogged, bark gone. Axe facets 40 mm wide on two sides.',
  'context.description disturbance': 'Burrow, 0.12 m across, from the north side at 0.4 m depth, running south and down. Loose dark soil with leaf mould.',
  'context.interpretation deposit': 'Boiler ash spread to level the yard before it was paved.',
  'context.interpretation cut': 'Hole dug to take out a post, widened on the side from which it was pulled.',
  'context.interpretation structure': 'Edge of a cart turning place round something that is gone.',
  'context.reasons': 'Even top, tip lines from the east, one material throughout, and no worn surface within it.',
  'context.alternatives': 'Slow build-up from a flue nearby; the tip lines speak against it. Thin slices under the lens would show trodden surfaces if there were any.',
  'context.contamination': 'Two live roots in the north-west corner; a burrow from the east side down to 0.3 m. Finds from there bagged apart.',
  'context.told_apart_by': 'Colour and compaction: greyer and softer than what lies below.',
  'context.inclusions': 'Frequent clinker 5–40 mm, poorly sorted, angular; occasional brick dust; rare window glass.',
  'context.mottles': '7.5YR 5/6, about 5 %, fine, along root channels.',
  'context.truncated': 'By the drain cut on its west side; perhaps a third is lost.',
  'context.faces': 'North face fair and pointed, south face rough against the ground; core of brick rubble.',
  'context.phase_note': 'Lies under the paving and over the garden soil, as do all of this phase.',
  'unit.reason': 'The hollow that opened after the culvert fell in lies across the line of the old wall.',
  'unit.question': 'What does the curve of setts turn round, and does it run on to the east?',
  'unit.surface_before': 'Rough grass on cinders; a hollow of 0.4 m in the north-east corner; no paving.',
  'unit.ties': 'To the lock bollard 14.32 m, to the north-east corner of the cone base 22.08 m.',
  'find.object': 'Wine bottle base, dark green, with pontil scar',
  'find.condition': 'Glass iridescent and flaking; kept damp in a tub.',
  'sample.purpose': 'Mortar of the first build, to tell it from the repair; from the joint furthest from the weather.',
  'photo.subject': 'Curved setting of setts, cleaned, from the south',
  'day_entry.done': 'Opened 105 and took it down to the setts. Planned and levelled 104 before lifting it. Two buckets sieved from each quarter.',
  'day_entry.decisions': 'The setts stay in place: lifting them would lose the question. Agreed by the director on site at 11.00.',
  'day_entry.doubts': '107 may be two fills; the wall will tell tomorrow when it has dried.',
  'follow_up.asks': 'Does the drain cut the curve of setts, or stop at it?',
  'follow_up.settled_by': 'A slot of 0.3 m where the two meet, drawn on both sides.',
  'relation.basis': 'Seen continuous in the north wall for 0.8 m.',
};

/** Return an example of how a field may be written; empty where none is offered. */
export function exampleOf(kind: string, field: string, sort: string): string {
  return EXAMPLES[`${kind}.${field} ${sort}`] ?? EXAMPLES[`${kind}.${field}`] ?? '';
}
