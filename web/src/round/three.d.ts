// What of three.js is used here; it brings no types of its own. Its documentation says the rest.
declare module "three" {
  export class Color {
    constructor(colour?: string);
    set(colour: string): this;
    copy(other: Color): this;
    lerp(other: Color, share: number): this;
  }
  export class Vector2 {
    constructor(x?: number, y?: number);
    set(x: number, y: number): this;
  }
  export class Vector3 {
    constructor(x?: number, y?: number, z?: number);
    set(x: number, y: number, z: number): this;
  }
  export class Object3D {
    name: string;
    visible: boolean;
    renderOrder: number;
    readonly position: Vector3;
    readonly scale: Vector3;
    add(...others: Object3D[]): this;
    lookAt(x: number, y: number, z: number): void;
    updateMatrixWorld(force?: boolean): void;
  }
  export class Group extends Object3D {}
  export class Scene extends Object3D {}
  export class PerspectiveCamera extends Object3D {
    constructor(fov: number, aspect: number, near: number, far: number);
    aspect: number;
    near: number;
    far: number;
    updateProjectionMatrix(): void;
  }
  export class HemisphereLight extends Object3D {
    constructor(sky: string, ground: string, intensity: number);
  }
  export class DirectionalLight extends Object3D {
    constructor(colour: string, intensity: number);
  }
  export class BufferAttribute {
    constructor(array: Float32Array | Uint32Array, itemSize: number);
  }
  export class BufferGeometry {
    setAttribute(name: string, attribute: BufferAttribute): this;
    setIndex(attribute: BufferAttribute): this;
    clearGroups(): void;
    addGroup(start: number, count: number, material: number): void;
    dispose(): void;
  }
  export interface MaterialSaid {
    color?: string;
    side?: 0 | 1 | 2;
    transparent?: boolean;
    opacity?: number;
    depthWrite?: boolean;
    polygonOffset?: boolean;
    polygonOffsetFactor?: number;
    polygonOffsetUnits?: number;
  }
  export class Material {
    constructor(said?: MaterialSaid);
    readonly color: Color;
    transparent: boolean;
    opacity: number;
    depthWrite: boolean;
    needsUpdate: boolean;
    dispose(): void;
  }
  export class MeshLambertMaterial extends Material {}
  export class LineBasicMaterial extends Material {}
  export const DoubleSide: 2;
  export class Mesh extends Object3D {
    constructor(geometry: BufferGeometry, material: Material | Material[]);
  }
  export class LineSegments extends Object3D {
    constructor(geometry: BufferGeometry, material: Material);
  }
  export interface Met {
    readonly distance: number;
    readonly faceIndex?: number | null;
    readonly object: Object3D;
  }
  export class Raycaster {
    setFromCamera(place: Vector2, camera: PerspectiveCamera): void;
    intersectObjects(objects: Object3D[], deep: boolean): Met[];
  }
  export class WebGLRenderer {
    constructor(said: { canvas: HTMLCanvasElement; context: WebGL2RenderingContext; antialias?: boolean });
    setPixelRatio(ratio: number): void;
    setSize(width: number, height: number, style?: boolean): void;
    setClearColor(colour: Color, alpha?: number): void;
    render(scene: Scene, camera: PerspectiveCamera): void;
    dispose(): void;
  }
}
