import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

const WORKER = 'sw.js';
const NOT_KEPT = [WORKER, 'font-licence.txt'];

export default defineConfig({
  plugins: [svelte(), shellList()],
  // `npm run dev` asks a server started with `baulk open SITE --port 8765`
  server: { proxy: { '/api': 'http://127.0.0.1:8765' } },
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    rolldownOptions: {
      input: { index: 'index.html', sw: 'src/worker/sw.ts' },
      output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? WORKER : 'assets/[name]-[hash].js') },
    },
  },
});

/** Writes the list of the built files, with a mark of their contents, into the service worker that keeps them. */
function shellList(): Plugin {
  let folder = '';
  return {
    name: 'shell-list',
    apply: 'build',
    configResolved: (config) => {
      folder = config.build.outDir;
    },
    closeBundle: () => {
      const files = readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((file) => file.isFile())
        .map((file) => join(file.parentPath, file.name).slice(join(folder, '/').length).replaceAll('\\', '/'))
        .filter((file) => !NOT_KEPT.includes(file))
        .sort();
      const mark = createHash('sha256');
      for (const file of files) mark.update(file).update(readFileSync(join(folder, file)));
      const paths = files.map((file) => (file === 'index.html' ? '/' : `/${file}`));
      const list = JSON.stringify({ version: mark.digest('hex').slice(0, 12), files: paths });
      const worker = join(folder, WORKER);
      const written = readFileSync(worker, 'utf8');
      const parts = written.split('__SHELL__');
      if (parts.length !== 2) throw new Error('the service worker has no place for the list of files');
      writeFileSync(worker, parts.join(list));
    },
  };
}
