/** Lets every answer in view be asked for once more. */

let turn = $state(0);

export const anew = {
  get turn(): number {
    return turn;
  },
};

export function askAnew(): void {
  turn += 1;
}
