/** The words of the map of units. */

export const mapWords = {
  waiting: 'Map of the units, being fetched',
  label: (count: number) => `Map of ${count.toLocaleString()} units`,
  larger: 'Larger',
  smaller: 'Smaller',
  whole: 'Whole site',
  toChosen: 'To the chosen',
  keys: 'Open units have a firm line, closed ones a broken line. Drag or use the arrow keys to move; + and − change the size, 0 shows the whole site.',
  unplaced: (count: number) => `${count.toLocaleString()} ${count === 1 ? 'unit has' : 'units have'} no corners yet and ${count === 1 ? 'is' : 'are'} not on the map.`,
  find: 'Find a unit by its number',
  more: (shown: number, all: number) => `${shown.toLocaleString()} of ${all.toLocaleString()} units are listed. Write part of a number to find others.`,
} as const;
