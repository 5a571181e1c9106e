import { reportWords } from '../../strings/report.ts';
import type { Place } from '../place.ts';
import ReportPage from './ReportPage.svelte';

export const place: Place = { name: 'report', title: reportWords.place, glyph: 'report', rank: 45, page: ReportPage };
