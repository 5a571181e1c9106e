/** The unit report: to read here and to keep. */

import { json } from './client.ts';
import type { ReportView } from './schema.ts';

const part = encodeURIComponent;

export const report = (unit: string, isPublic: boolean): Promise<ReportView> => json(`report/${part(unit)}?public=${isPublic}`);

export function reportFile(unit: string, form: 'html' | 'pdf', isPublic: boolean): string {
  return `/api/report/${part(unit)}/file.${form}?public=${isPublic}`;
}
