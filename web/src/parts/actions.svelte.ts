/** What a person can do, as data: the searchable list, buttons, keys and menus all take it from here. */

export interface Action {
  readonly id: string;
  readonly label: string;
  /** One key, such as `u`, or `mod+z` for Ctrl or Command with it. */
  readonly key?: string;
  readonly run: () => unknown;
  /** Whether it can be done now; always, when left out. */
  readonly when?: () => boolean;
}

let registered = $state.raw<readonly Action[]>([]);

/** Add actions; one with a known id takes the other's place. The returned function takes them away again. */
export function register(actions: readonly Action[]): () => void {
  const ids = new Set(actions.map((action) => action.id));
  registered = [...registered.filter((action) => !ids.has(action.id)), ...actions];
  return () => {
    registered = registered.filter((action) => !actions.includes(action));
  };
}

/** Return the actions that can be done now; read in markup it is followed. */
export function actionsNow(): readonly Action[] {
  return registered.filter((action) => action.when?.() ?? true);
}

/** Return the actions whose label holds every word of `asked`, those that begin with it first, else as registered. */
export function found(asked: string): readonly Action[] {
  const parts = asked.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  const holding = actionsNow().filter((action) => parts.every((part) => action.label.toLocaleLowerCase().includes(part)));
  const begins = (action: Action): number => (action.label.toLocaleLowerCase().startsWith(parts[0] ?? '') ? 0 : 1);
  return [...holding].sort((one, other) => begins(one) - begins(other));
}

/** Whether a finger or mouse was used last: a letter typed after a press that missed its field must not act. */
let pressedLast = false;
addEventListener('pointerdown', () => (pressedLast = true), true);
addEventListener('keydown', (event) => (pressedLast &&= !/^(Tab|Escape|Arrow|Enter|\/)/.test(event.key)), true);

/** Run the action that a key press stands for; tells whether there was one. Keys typed into a field are left to the field. */
export function runKey(event: KeyboardEvent): boolean {
  const typing = event.target instanceof HTMLElement && event.target.matches('input:not([type=radio], [type=checkbox]), textarea, select, [contenteditable=true]');
  const mod = event.ctrlKey || event.metaKey;
  if (event.defaultPrevented || event.altKey || (typing && !mod)) return false;
  if (pressedLast && !mod && event.key.length === 1) return false;
  const pressed = `${mod ? 'mod+' : ''}${event.shiftKey && event.key.length > 1 ? 'shift+' : ''}${event.key.length === 1 && mod && event.shiftKey ? 'shift+' : ''}${event.key.length === 1 ? event.key.toLowerCase() : event.key}`;
  if (typing && pressed.endsWith('z')) return false; // a field undoes its own typing
  const action = actionsNow().find((one) => one.key === pressed);
  if (!action) return false;
  event.preventDefault();
  void action.run();
  return true;
}
