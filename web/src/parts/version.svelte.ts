/** The service worker keeps the page for times without a network, and tells when a newer one is there. */

let newer = $state(false);
let registered: ServiceWorkerRegistration | undefined;
let taking = false;

export const version = {
  /** Whether a newer version of the page waits to be taken. */
  get newer(): boolean {
    return newer;
  },
};

/** Let the page be kept on this device; one that waits already, from an earlier visit, is taken before anything is written. */
export async function keepPage(): Promise<void> {
  if (!('serviceWorker' in navigator) || import.meta.env.DEV) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (taking) location.reload();
  });
  try {
    registered = await navigator.serviceWorker.register('/sw.js');
  } catch (cause) {
    console.info(cause); // the page works all the same while the server is in reach
    return;
  }
  if (registered.waiting && navigator.serviceWorker.controller) takeNewVersion();
  registered.addEventListener('updatefound', () => {
    const coming = registered?.installing;
    coming?.addEventListener('statechange', () => {
      if (coming.state === 'installed' && navigator.serviceWorker.controller) newer = true;
    });
  });
}

/** Take the newer version: what waits to be sent stays on the device. */
export function takeNewVersion(): void {
  taking = true;
  registered?.waiting?.postMessage('take over');
}
