import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

export default defineConfig({
  plugins: [svelte()],
  // `npm run dev` asks a server started with `baulk open SITE --port 8765`
  server: { proxy: { '/api': 'http://127.0.0.1:8765' } },
  build: { target: 'es2022', assetsInlineLimit: 0, modulePreload: { polyfill: false }, reportCompressedSize: false },
});
