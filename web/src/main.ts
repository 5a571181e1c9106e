import { mount } from 'svelte';

import '@fontsource-variable/atkinson-hyperlegible-next/index.css';
import './parts/look.css';
import './parts/drawing.css';
import App from './App.svelte';
import * as device from './offline/index.ts';
import { applyTheme } from './parts/settings.svelte.ts';
import { keepPage } from './parts/version.svelte.ts';

applyTheme();
Object.assign(globalThis, { baulkDevice: device }); // for tests, and for a person who mends a device by its console
void device.start();
const target = document.getElementById('page');
if (target) mount(App, { target });
void keepPage();
