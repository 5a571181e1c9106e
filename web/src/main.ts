import { mount } from 'svelte';

import '@fontsource-variable/atkinson-hyperlegible-next/index.css';
import './parts/look.css';
import './parts/drawing.css';
import App from './App.svelte';
import { applyTheme } from './parts/settings.svelte.ts';

applyTheme();
const target = document.getElementById('page');
if (target) mount(App, { target });
