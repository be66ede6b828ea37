// Reads the surfaces of a GLB file as the service writes it: binary glTF 2.0, places and normals in single precision.

/** A surface: places and normals by threes, y up and north away; `parts` say which triangles belong to which element. */
export interface Sheet {
  readonly name: string;
  readonly places: Float32Array;
  readonly normals: Float32Array;
  readonly rows: Uint32Array; // of places, three for each triangle
  readonly breaks: Uint32Array; // of places, two for each line
  readonly parts: readonly (readonly [path: string, first: number, count: number])[];
  readonly opacity: number;
}

interface Told {
  readonly nodes: readonly { readonly mesh: number; readonly name: string; readonly extras?: { readonly parts?: Sheet["parts"] } }[];
  readonly meshes: readonly { readonly primitives: readonly Primitive[] }[];
  readonly materials: readonly { readonly pbrMetallicRoughness: { readonly baseColorFactor: readonly number[] } }[];
  readonly accessors: readonly { readonly bufferView: number; readonly componentType: number }[];
  readonly bufferViews: readonly { readonly byteOffset: number; readonly byteLength: number }[];
}

interface Primitive {
  readonly attributes: Readonly<Record<string, number>>;
  readonly indices: number;
  readonly material: number;
  readonly mode: number;
}

const [MAGIC, VERSION, JSON_CHUNK, BINARY_CHUNK] = [0x46546c67, 2, 0x4e4f534a, 0x004e4942];
const [FACES, LINES] = [4, 1];
const [FLOAT, UNSIGNED] = [5126, 5125];

/** The surfaces in the order of the file. Throws where it is no such file. */
export function sheetsOf(file: ArrayBuffer): Sheet[] {
  const at = new DataView(file);
  const word = (place: number): number => (place + 4 <= file.byteLength ? at.getUint32(place, true) : -1);
  if (word(0) !== MAGIC || word(4) !== VERSION || word(8) !== file.byteLength || word(16) !== JSON_CHUNK) throw new Error("is no GLB file");
  const body = 20 + word(12);
  if (word(body + 4) !== BINARY_CHUNK || body + 8 + word(body) > file.byteLength) throw new Error("is a GLB file without its numbers");
  const told = JSON.parse(new TextDecoder().decode(new Uint8Array(file, 20, word(12)))) as Told;

  function numbers(number: number | undefined, kind: number): [start: number, count: number] {
    const accessor = told.accessors[number ?? -1];
    const view = told.bufferViews[accessor?.bufferView ?? -1];
    if (!accessor || !view || accessor.componentType !== kind) throw new Error("is a GLB file of another kind");
    return [body + 8 + view.byteOffset, view.byteLength / 4];
  }
  const floats = (number: number | undefined): Float32Array => new Float32Array(file, ...numbers(number, FLOAT));
  const rows = (number: number | undefined): Uint32Array => new Uint32Array(file, ...numbers(number, UNSIGNED));

  return told.nodes.map(({ mesh, name, extras }) => {
    const primitives = told.meshes[mesh]?.primitives ?? [];
    const faces = primitives.find(({ mode }) => mode === FACES);
    const lines = primitives.find(({ mode }) => mode === LINES);
    return {
      name,
      places: floats(faces?.attributes["POSITION"]),
      normals: floats(faces?.attributes["NORMAL"]),
      rows: rows(faces?.indices),
      breaks: lines ? rows(lines.indices) : new Uint32Array(),
      parts: extras?.parts ?? [],
      opacity: told.materials[faces?.material ?? 0]?.pbrMetallicRoughness.baseColorFactor[3] ?? 1,
    };
  });
}

/** The element to which a triangle belongs, by its path; empty where none is said. */
export function partAt({ parts }: Sheet, triangle: number): string {
  return parts.find(([, first, count]) => triangle >= first && triangle < first + count)?.[0] ?? "";
}
