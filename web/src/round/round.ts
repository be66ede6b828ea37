// The finished work in three dimensions. Drawn when something changes, and only then.
import * as three from "three";
import { partAt, sheetsOf, type Sheet } from "./glb.ts";
import { HALF_VIEW, first, keyed, placeOf, sizeOf, type Eye, type Room } from "./orbit.ts";
import type { Shown, Wanted } from "./shown.ts";
import { turning } from "./turning.ts";

const COLOURS: Record<string, string> = { ground: "--earth", dug: "--earth", liner: "--liner", finished: "--stone" };
const WATER = "--water";
const PALER: Record<string, number> = { ground: 0.55, liner: 0.3 }; // towards the paper, so that light and shade are seen
const [PLAIN, CHOSEN, AROUND, INK] = [0, 1, 2, 3]; // AROUND: ground, berms and cuts of the finished work
const BEHIND: Record<string, number> = { ground: 3, dug: 2, liner: 1, finished: 0 }; // where two lie in one place

interface Solid {
  readonly sheet: Sheet;
  readonly mesh: three.Mesh;
  readonly lines: three.LineSegments;
  readonly geometry: three.BufferGeometry;
  readonly materials: readonly three.Material[];
}

export function showRound({ canvas, file, onpart, onturn, onlost }: Wanted): Shown | null {
  const context = canvas.getContext("webgl2", { antialias: true });
  if (!context) return null;
  const sheets = sheetsOf(file);
  const renderer = new three.WebGLRenderer({ canvas, context, antialias: true });
  const [scene, all] = [new three.Scene(), new three.Group()];
  const camera = new three.PerspectiveCamera((2 * Math.atan(HALF_VIEW) * 180) / Math.PI, 1, 0.1, 1000);
  const light = new three.DirectionalLight("#ffffff", 2.2);
  light.position.set(-1, 1.2, 0.4); // over the left shoulder of who looks, as maps are lit
  camera.add(light);
  scene.add(camera, new three.HemisphereLight("#ffffff", "#b9b2a6", 1.5), all);
  const solids = sheets.map(solidOf);
  for (const { mesh, lines } of solids) all.add(mesh, lines);
  const [room, focus] = [roomOf(sheets, () => true), roomOf(sheets, isWork)];
  const wide = (): number => (canvas.clientWidth || 1) / (canvas.clientHeight || 1);
  let [tall, waiting] = [1, false];
  const whole = (): Eye => first(focus, wide(), tall);
  let [eye, untouched] = [whole(), true];

  function draw(): void {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      const [width, height] = [canvas.clientWidth, canvas.clientHeight];
      if (width === 0 || height === 0) return;
      renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
      renderer.setSize(width, height, false);
      const size = sizeOf(room);
      [camera.aspect, camera.near, camera.far] = [width / height, eye.away / 50, eye.away + 2 * size * tall];
      camera.updateProjectionMatrix();
      const seen = placeOf({ ...eye, at: [eye.at[0], eye.at[1] * tall, eye.at[2]] });
      camera.position.set(...seen);
      camera.lookAt(eye.at[0], eye.at[1] * tall, eye.at[2]);
      renderer.render(scene, camera);
      canvas.dataset["drawn"] = String(Number(canvas.dataset["drawn"] ?? 0) + 1);
    });
  }

  function look(to: Eye): void {
    [eye, untouched] = [to, false];
    onturn(eye.turn);
    draw();
  }

  /** The element under a place of the picture; water is looked through. */
  function touched(x: number, y: number): void {
    const ray = new three.Raycaster();
    scene.updateMatrixWorld();
    ray.setFromCamera(new three.Vector2(2 * x - 1, 1 - 2 * y), camera);
    const solid = solids.filter(({ mesh, sheet }) => mesh.visible && !isWater(sheet.name));
    const met = ray.intersectObjects(solid.map(({ mesh }) => mesh), false)[0]; // prettier-ignore
    const found = solid.find(({ mesh }) => mesh === met?.object);
    if (found && typeof met?.faceIndex === "number") onpart(partAt(found.sheet, met.faceIndex));
  }

  function colours(): void {
    const style = getComputedStyle(canvas);
    const colour = (name: string): string => style.getPropertyValue(name).trim();
    const paper = new three.Color(colour("--sheet"));
    renderer.setClearColor(paper, 1);
    for (const { sheet, materials } of solids) {
      const own = new three.Color(colour(isWater(sheet.name) ? WATER : (COLOURS[sheet.name] ?? "--stone"))).lerp(paper, PALER[sheet.name] ?? 0);
      materials[PLAIN]?.color.copy(own);
      materials[CHOSEN]?.color.set(colour("--built")).lerp(own, 0.5);
      materials[AROUND]?.color.set(colour("--earth")).lerp(paper, PALER["ground"] ?? 0);
      materials[INK]?.color.set(colour("--ink"));
    }
    draw();
  }

  const still = turning({ canvas, room, eye: () => eye, look, touched });
  const lost = (event: Event): void => {
    event.preventDefault(); // so that it is given back
    onlost(event.type === "webglcontextlost");
    draw();
  };
  for (const what of ["webglcontextlost", "webglcontextrestored"]) canvas.addEventListener(what, lost);
  const watch = new ResizeObserver(() => {
    if (untouched) eye = whole();
    draw();
  });
  watch.observe(canvas);
  colours();
  onturn(eye.turn);

  return {
    names: sheets.map(({ name }) => name),
    show(names) {
      const several = names.filter((name) => !isWater(name)).length > 1;
      for (const { sheet, mesh, lines, materials } of solids) {
        mesh.visible = lines.visible = names.includes(sheet.name);
        if (sheet.name === "ground") through(materials[PLAIN], several ? 0.45 : 1);
      }
      draw();
    },
    tall(times) {
      tall = times;
      all.scale.set(1, times, 1);
      if (untouched) eye = whole();
      draw();
    },
    key(key) {
      const to = keyed(eye, key, room, whole);
      if (to) look(to);
      return to !== null;
    },
    choose(path) {
      for (const { sheet, geometry } of solids) {
        if (isWater(sheet.name)) continue;
        geometry.clearGroups();
        for (const [part, start, count] of sheet.parts) geometry.addGroup(3 * start, 3 * count, path !== "" && elementOf(part) === path ? CHOSEN : plain(sheet, part));
      }
      draw();
    },
    colours,
    leave() {
      still();
      watch.disconnect();
      for (const what of ["webglcontextlost", "webglcontextrestored"]) canvas.removeEventListener(what, lost);
      for (const { geometry, materials } of solids) for (const each of [geometry, ...materials]) each.dispose();
      renderer.dispose();
    },
  };
}

const isWater = (name: string): boolean => name.includes("water");
const isWork = (path: string): boolean => /^(ponds|reaches|falls|islands)\//.test(path); // and not the ground round it
const plain = ({ name }: Sheet, path: string): number => (name === "finished" && !isWork(path) ? AROUND : PLAIN);
const elementOf = (path: string): string => path.split(".")[0] ?? "";

function solidOf(sheet: Sheet): Solid {
  const geometry = new three.BufferGeometry();
  const places = new three.BufferAttribute(sheet.places, 3);
  geometry.setAttribute("position", places).setAttribute("normal", new three.BufferAttribute(sheet.normals, 3));
  geometry.setIndex(new three.BufferAttribute(sheet.rows, 1));
  for (const [part, start, count] of sheet.parts) geometry.addGroup(3 * start, 3 * count, plain(sheet, part));
  const back = BEHIND[sheet.name] ?? 0;
  const said = { side: three.DoubleSide, polygonOffset: true, polygonOffsetFactor: 2 + back, polygonOffsetUnits: 4 + 4 * back };
  const materials = [PLAIN, CHOSEN, AROUND].map(() => new three.MeshLambertMaterial(said));
  if (sheet.opacity < 1) for (const each of materials) through(each, sheet.opacity);
  const ink = new three.LineBasicMaterial({ transparent: true, opacity: 0.55 });
  const along = new three.BufferGeometry().setAttribute("position", places).setIndex(new three.BufferAttribute(sheet.breaks, 1));
  const mesh = new three.Mesh(geometry, materials);
  const lines = new three.LineSegments(along, ink);
  mesh.renderOrder = sheet.opacity < 1 ? 1 : 0;
  return { sheet, mesh, lines, geometry, materials: [...materials, ink] };
}

/** So that what lies behind it is seen through it. */
function through(material: three.Material | undefined, opacity: number): void {
  if (!material) return;
  material.transparent = opacity < 1;
  material.depthWrite = opacity === 1;
  material.opacity = opacity;
  material.needsUpdate = true;
}

/** The least and the greatest of all places of those parts; of all places, where there is no such part. */
function roomOf(sheets: readonly Sheet[], of: (path: string) => boolean): Room {
  const [least, most]: [number[], number[]] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  for (const { places, rows, parts } of sheets) {
    for (const [path, first, count] of parts) {
      if (!of(path)) continue;
      for (let row = 3 * first; row < 3 * (first + count); row++) {
        for (let axis = 0; axis < 3; axis++) {
          const value = places[3 * (rows[row] ?? 0) + axis] ?? 0;
          least[axis] = Math.min(least[axis] ?? value, value);
          most[axis] = Math.max(most[axis] ?? value, value);
        }
      }
    }
  }
  if (least[0] === Infinity) return roomOf(sheets, () => true);
  return { least: least as unknown as Room["least"], most: most as unknown as Room["most"] };
}
