/** Tell whether this browser can draw solids; asked once, and the drawing surface is given back. */
export function canDrawSolids(): boolean {
  const surface = document.createElement('canvas').getContext('webgl2', { stencil: true });
  surface?.getExtension('WEBGL_lose_context')?.loseContext();
  return surface !== null;
}
