// Whether so little of a page is seen at once that nothing may stay at its foot: a low screen, or letters set large.
const LEAST_REM = 34; // of the window's height, in letters as they are set

let low = $state(false);

export const room = {
  get low(): boolean {
    return low;
  },
  look(): void {
    low = innerHeight < LEAST_REM * (Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16);
  },
};
