/** Small line drawings for the places, on a field of 24 by 24. */

export const GLYPHS = {
  site: 'M3 5h18v14H3zM3 12h18M9 5v14M15 5v14M11 14l2 3',
  unit: 'M4 4h16v16H4zM4 9c4-2 7 2 16-1M4 15c6 2 9-2 16 0',
  order: 'M9 3h6v4H9zM4 17h6v4H4zM14 17h6v4h-6zM12 7v5M7 17v-5h10v5',
  dates: 'M3 6h18M3 12h18M3 18h18M8 4v4M15 10v4M11 16v4',
  readings: 'M12 3v18M12 6h7M12 10H6M12 14h5M12 18H9',
  draw: 'M4 20l4-1L19 8l-3-3L5 16zM14 7l3 3M4 20h16',
  block: 'M12 3l8 4.5v9L12 21l-8-4.5v-9zM4 7.5l8 4.5 8-4.5M12 12v9',
  closing: 'M3 8h4v12h10V8h4M8 14l3 3 6-8M9 4l3-2 3 2',
  report: 'M6 3h9l4 4v14H6zM15 3v4h4M9 11h7M9 14h7M9 17h5',
  registers: 'M5 3h14v18H5zM8 8h8M8 12h8M8 16h5',
  record: 'M5 3h10l4 4v14H5zM15 3v4h4M8 17l1-4 7-6 2 2-7 6z',
  undo: 'M9 6L4 11l5 5M4 11h10a5 5 0 0 1 0 10h-3',
  actions: 'M4 6h10M4 12h7M4 18h7M17 10a4 4 0 1 1 0 8 4 4 0 0 1 0-8M20 17l2.5 2.5',
  more: 'M4 7h16M4 12h16M4 17h16',
  join: 'M4 12h10M10 7l5 5-5 5M15 4h5v16h-5',
  device: 'M7 3h10v18H7zM11 18h2',
  settle: 'M12 4v16M6 8h5v8H6zM13 8h5v8h-5M3 20h18',
} as const;

export type GlyphName = keyof typeof GLYPHS;
