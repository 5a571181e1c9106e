/** Fails when the types in src/api/schema.ts are not those of openapi.json. */

import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

const root = join(import.meta.dirname, '..');
const program = join(root, 'node_modules', 'openapi-typescript', 'bin', 'cli.js');
const made = execFileSync(process.execPath, [program, 'openapi.json', '--root-types', '--root-types-no-schema-prefix'], { cwd: root, encoding: 'utf8' });
if (made.trim() !== readFileSync(join(root, 'src/api/schema.ts'), 'utf8').trim()) {
  console.error('src/api/schema.ts is not what openapi.json says. Run: python hatch_build.py api');
  process.exitCode = 1;
}
