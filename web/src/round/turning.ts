// Fingers, mouse and wheel on the picture: one turns it, two move it and pinch it, a touch without a way means a part.
import { dragged, moved, nearer, type Eye, type Room } from "./orbit.ts";

interface Turned {
  readonly canvas: HTMLCanvasElement;
  readonly room: Room;
  readonly eye: () => Eye;
  readonly look: (to: Eye) => void;
  readonly touched: (x: number, y: number) => void; // shares of the picture, from its upper left
}

const CLOSE_PX = 6; // so short a way is a touch
const WHEEL = 0.0015; // of the distance, for each pixel

/** Listens until what it answers is called. */
export function turning({ canvas, room, eye, look, touched }: Turned): () => void {
  const down = new Map<number, readonly [x: number, y: number]>();
  let way = 0; // of the fingers since the first came down, in pixels
  let most = 0; // fingers at once
  const gone = new AbortController();
  const on = <K extends keyof HTMLElementEventMap>(what: K, act: (event: HTMLElementEventMap[K]) => void, passive = true): void =>
    canvas.addEventListener(what, act, { signal: gone.signal, passive });
  const at = ({ clientX, clientY }: MouseEvent): [number, number] => [clientX, clientY];

  on("pointerdown", (event) => {
    if (event.pointerType === "mouse" && event.button > 2) return;
    canvas.setPointerCapture(event.pointerId);
    if (down.size === 0) [way, most] = [0, 0];
    down.set(event.pointerId, at(event));
    most = Math.max(most, down.size);
  });
  on("pointermove", (event) => {
    const before = down.get(event.pointerId);
    if (!before) return;
    const [[x, y], high] = [at(event), Math.max(1, canvas.clientHeight)];
    const [right, low] = [(x - before[0]) / high, (y - before[1]) / high];
    way += Math.hypot(x - before[0], y - before[1]);
    const other = [...down].find(([id]) => id !== event.pointerId)?.[1];
    down.set(event.pointerId, [x, y]);
    if (way <= CLOSE_PX) return;
    if (other) {
      const apart = (place: readonly [number, number]): number => Math.max(1, Math.hypot(place[0] - other[0], place[1] - other[1]));
      look(nearer(moved(eye(), right / 2, low / 2, room), apart(before) / apart([x, y]), room));
    } else if (event.shiftKey || event.buttons > 1) look(moved(eye(), right, low, room));
    else look(dragged(eye(), right, low));
  });
  on("pointerup", (event) => {
    if (down.delete(event.pointerId) && down.size === 0 && most === 1 && way <= CLOSE_PX) {
      const box = canvas.getBoundingClientRect();
      touched((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
    }
  });
  on("pointercancel", (event) => void down.delete(event.pointerId));
  on("contextmenu", (event) => event.preventDefault(), false);
  on("wheel", (event) => {
    if (document.activeElement !== canvas.parentElement && !event.ctrlKey) return; // the page goes on, until the picture was touched
    event.preventDefault();
    look(nearer(eye(), Math.exp(WHEEL * event.deltaY), room));
  }, false); // prettier-ignore
  return () => gone.abort();
}
