/** Where the reader is, kept in the address: `#/place/detail?chosen=record id`, so that back, reload and bookmarks work. */

interface Route {
  readonly place: string;
  readonly detail: string;
  readonly chosen: string;
}

function read(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?', 2);
  const [place = '', detail = ''] = path.split('/').map(decode);
  return { place, detail, chosen: new URLSearchParams(query).get('chosen') ?? '' };
}

function decode(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return '';
  }
}

let current = $state.raw<Route>(read(location.hash));
let before = '';
let passing = $state(false);

addEventListener('hashchange', () => {
  const next = read(location.hash);
  if (next.place !== current.place) before = written(current);
  current = next;
});

/** Return the address of where one was in the place before this one; empty when the page was opened here. */
export function cameFrom(): string {
  return before;
}

/** The route as it stands; reading it in markup follows it. */
export const route = {
  get place(): string {
    return current.place;
  },
  get detail(): string {
    return current.detail;
  },
  /** Id of the record that is chosen in every place at once; empty when none is. */
  get chosen(): string {
    return current.chosen;
  },
  /** Whether the chosen record is only passed over on the way to another, as by the keys that step through a drawing. */
  get passing(): boolean {
    return passing;
  },
};

/** Return the address of a place, keeping what is chosen. */
export function addressOf(place: string, detail = ''): string {
  return written({ place, detail, chosen: current.chosen });
}

/** Choose a record everywhere; an empty id, or the one that is chosen already, chooses none. */
export function choose(id: string, onTheWay = false): void {
  passing = onTheWay;
  const chosen = id === current.chosen ? '' : id;
  history.replaceState(null, '', written({ ...current, chosen }));
  current = { ...current, chosen };
}

/** Stay with the record that was reached step by step. */
export function settle(): void {
  passing = false;
}

export function go(place: string, detail = ''): void {
  location.hash = addressOf(place, detail);
}

function written(to: Route): string {
  const path = ['#', to.place, to.detail].filter((word, index) => index < 2 || word).map((word) => (word === '#' ? word : encodeURIComponent(word)));
  return path.join('/') + (to.chosen ? `?${new URLSearchParams({ chosen: to.chosen })}` : '');
}
