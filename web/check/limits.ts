/** Fails when a file is over its cap, a place imports another place, or markup holds words of its own. */

import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';

const CAP = 300;
/** Files over the cap, each with its reason. */
const LARGER: Readonly<Record<string, string>> = { 'src/api/schema.ts': 'generated from the description of the routes' };
const ROOT = join(import.meta.dirname, '..');

const faults: string[] = [];
const files = ['src', 'check']
  .flatMap((folder) => readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' }).map((name) => join(ROOT, folder, name)))
  .filter((path) => /\.(ts|svelte|css)$/.test(path));

for (const path of files) {
  const name = relative(ROOT, path).replaceAll('\\', '/');
  const text = readFileSync(path, 'utf8');
  const lines = text.split('\n').length - 1;
  if (lines > CAP && !(name in LARGER)) faults.push(`${name} has ${lines} lines; the cap is ${CAP}: split it by concept.`);
  checkImports(name, text);
  if (name.endsWith('.svelte')) checkWords(name, text);
}

if (files.length < 20) faults.push(`only ${files.length} files were found: the check looks in the wrong folder.`);
for (const fault of faults) console.error(fault);
process.exitCode = faults.length > 0 ? 1 : 0;

function checkImports(name: string, text: string): void {
  const place = /^src\/places\/([^/]+)\//.exec(name)?.[1];
  const lower = /^src\/(parts|geometry|api|offline|strings)\//.exec(name)?.[1];
  for (const [, from] of text.matchAll(/from '([^']+)'/g)) {
    const other = /^\.\.\/([a-z]+)\//.exec(from ?? '')?.[1];
    if (place && other && from?.startsWith(`../${other}/`)) faults.push(`${name} imports the place “${other}”: what two places share belongs in parts.`);
    if (lower && from?.includes('/places/')) faults.push(`${name} imports a place: imports go from places to ${lower}, never back.`);
  }
}

function checkWords(name: string, text: string): void {
  const markup = text
    .replace(/<script[\s\S]*?<\/script>|<style[\s\S]*?<\/style>|<!--[\s\S]*?-->/g, '')
    .replace(/=>/g, '')
    .replace(/\{(?:[^{}]|\{(?:[^{}]|\{[^{}]*\})*\})*\}/g, '')
    .replace(/<[^>]*>/g, ' ');
  const word = /[A-Za-z]{2,}/.exec(markup)?.[0];
  if (word) faults.push(`${name} has the word “${word}” in its markup: words belong in strings/.`);
}
