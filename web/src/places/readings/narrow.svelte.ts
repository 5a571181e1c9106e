/** Whether the page is too narrow for a table of all readings side by side. */

const query = matchMedia('(max-width: 60rem)');
let current = $state(query.matches);
query.addEventListener('change', () => {
  current = query.matches;
});

export const narrow = {
  get is(): boolean {
    return current;
  },
};
