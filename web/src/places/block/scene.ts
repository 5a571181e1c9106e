/** The scene of a unit's solids. It is fetched only when the place is opened: the drawing library stays out of the first load. */

import {
  AlwaysStencilFunc,
  BackSide,
  type BufferGeometry,
  DecrementWrapStencilOp,
  DoubleSide,
  EdgesGeometry,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  NotEqualStencilFunc,
  OrthographicCamera,
  Plane,
  PlaneGeometry,
  Raycaster,
  ReplaceStencilOp,
  Scene,
  type Side,
  type StencilOp,
  Vector2,
  Vector3,
  WebGLRenderer,
} from 'three';

import type { ShapeView } from '../../api/schema.ts';
import { extentOf, geometryOf, soilOf } from './solids.ts';

/** Across which axis the solids are cut; what lies beyond the cut is taken away. */
export type CutAcross = 'none' | 'east' | 'north' | 'up';

export interface BlockScene {
  /** 0: as they lie in the ground; 1: farthest apart, the latest lifted most. */
  drawApart(share: number): void;
  cut(across: CutAcross, share: number): void;
  /** Mark the solid of that record; none for any other id. */
  mark(id: string): void;
  /** Turn by degrees: to the right, and over. */
  turn(right: number, over: number): void;
  zoom(factor: number): void;
  /** Turn back to where it began. */
  start(): void;
  /** The record whose solid is seen at shares of the frame; empty for none. */
  at(across: number, down: number): string;
  dispose(): void;
}

interface Laid {
  readonly id: string;
  readonly rank: number;
  readonly whole: Group;
  readonly mesh: Mesh;
  readonly edges: LineSegments<EdgesGeometry, LineBasicMaterial>;
  readonly cap: Mesh;
}

const INK = 0x1f1c18;
const MARK = 0xb3400e;
const START = { right: -45, over: 30 };
const STEP = 0.3;
const NORMALS: Readonly<Record<Exclude<CutAcross, 'none'>, Vector3>> = {
  east: new Vector3(1, 0, 0),
  north: new Vector3(0, 0, -1),
  up: new Vector3(0, -1, 0),
};

export function blockScene(frame: HTMLElement, shape: ShapeView): BlockScene {
  const extent = extentOf(shape);
  const reach = Math.hypot(...extent.size);
  const renderer = new WebGLRenderer({ antialias: true, alpha: true, stencil: true });
  renderer.localClippingEnabled = true;
  const scene = new Scene();
  const camera = new OrthographicCamera();
  const plane = new Plane(new Vector3(1, 0, 0), 1e6);
  const laid = shape.solids.map((solid, at) => lay(geometryOf(solid, extent), solid.link.id, solid.rank, soilOf(solid), plane, at, reach));
  for (const one of laid) scene.add(one.whole, one.cap);
  const highest = Math.max(1, ...laid.map((one) => one.rank));
  let { right, over } = START;
  let closer = 1;
  let lifted = 0;
  let asked = 0;

  function paint(): void {
    if (asked) return;
    asked = requestAnimationFrame(() => {
      asked = 0;
      look();
      renderer.render(scene, camera);
    });
  }

  function look(): void {
    const width = frame.clientWidth || 1;
    const height = frame.clientHeight || 1;
    renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    renderer.setSize(width, height);
    const turned = (right * Math.PI) / 180;
    const tilted = (over * Math.PI) / 180;
    const seen = Math.hypot(extent.size[0], extent.size[2]);
    const high = seen * Math.sin(tilted) + (extent.size[1] + lifted) * Math.cos(tilted);
    const half = (0.51 * Math.max(high, (seen * height) / width)) / closer;
    camera.top = half;
    camera.bottom = -half;
    camera.right = (half * width) / height;
    camera.left = -camera.right;
    camera.near = 0;
    camera.far = 8 * (reach + lifted);
    const far = 4 * (reach + lifted);
    camera.position.set(Math.sin(turned) * Math.cos(tilted) * far, Math.sin(tilted) * far + lifted / 2, Math.cos(turned) * Math.cos(tilted) * far);
    if (over > 89) camera.up.set(-Math.sin(turned), 0, -Math.cos(turned));
    else camera.up.set(0, 1, 0);
    camera.lookAt(0, lifted / 2, 0);
    camera.updateProjectionMatrix();
  }

  const watch = new ResizeObserver(paint);
  watch.observe(frame);
  renderer.domElement.setAttribute('aria-hidden', 'true');
  frame.replaceChildren(renderer.domElement);
  paint();

  return {
    drawApart(share) {
      const step = share * STEP * Math.max(extent.size[0], extent.size[2]);
      for (const one of laid) one.whole.position.y = step * one.rank;
      lifted = step * highest;
      paint();
    },
    cut(across, share) {
      const normal = across === 'none' ? undefined : NORMALS[across];
      const size = { none: 0, east: extent.size[0], north: extent.size[2], up: extent.size[1] + lifted }[across];
      if (normal) plane.set(normal, across === 'up' ? (1 - share) * size - extent.size[1] / 2 : (0.5 - share) * size);
      else plane.set(new Vector3(1, 0, 0), 1e6);
      for (const { cap } of laid) {
        cap.visible = normal !== undefined;
        plane.coplanarPoint(cap.position);
        cap.lookAt(cap.position.clone().sub(plane.normal));
      }
      paint();
    },
    mark(id) {
      for (const one of laid) {
        one.edges.material.color.set(one.id === id ? MARK : INK);
        one.edges.material.depthTest = one.id !== id;
        one.edges.renderOrder = one.id === id ? 1e4 : one.mesh.renderOrder;
      }
      frame.dataset['marked'] = laid.some((one) => one.id === id) ? id : '';
      paint();
    },
    turn(byRight, byOver) {
      right = (right + byRight) % 360;
      over = Math.max(0, Math.min(90, over + byOver));
      paint();
    },
    zoom(factor) {
      closer = Math.max(0.5, Math.min(8, closer * factor));
      paint();
    },
    start() {
      ({ right, over } = START);
      closer = 1;
      paint();
    },
    at(across, down) {
      look();
      const ray = new Raycaster();
      ray.setFromCamera(new Vector2(across * 2 - 1, 1 - down * 2), camera);
      const met = ray.intersectObjects(laid.map((one) => one.mesh)).find((hit) => plane.distanceToPoint(hit.point) >= 0);
      return laid.find((one) => one.mesh === met?.object)?.id ?? '';
    },
    dispose() {
      cancelAnimationFrame(asked);
      watch.disconnect();
      for (const one of laid) {
        one.mesh.geometry.dispose();
        one.edges.geometry.dispose();
      }
      renderer.dispose();
      renderer.forceContextLoss();
    },
  };
}

/** Lay one solid: its faces and edges, and where it is cut a cap that its own inside, counted in the stencil, lets through. */
function lay(geometry: BufferGeometry, id: string, rank: number, soil: { getHex(): number }, plane: Plane, at: number, reach: number): Laid {
  const clippingPlanes = [plane];
  const material = new MeshBasicMaterial({ vertexColors: true, side: DoubleSide, clippingPlanes, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
  const mesh = new Mesh(geometry, material);
  const edges = new LineSegments(new EdgesGeometry(geometry, 30), new LineBasicMaterial({ color: INK, clippingPlanes }));
  const counters = [counter(geometry, BackSide, IncrementWrapStencilOp, plane), counter(geometry, FrontSide, DecrementWrapStencilOp, plane)];
  const whole = new Group();
  whole.add(mesh, edges, ...counters);
  const cap = new Mesh(
    new PlaneGeometry(40 * reach, 40 * reach),
    new MeshBasicMaterial({
      color: soil.getHex(), side: DoubleSide, stencilWrite: true, stencilRef: 0, stencilFunc: NotEqualStencilFunc,
      stencilFail: ReplaceStencilOp, stencilZFail: ReplaceStencilOp, stencilZPass: ReplaceStencilOp,
    }),
  ); // prettier-ignore
  cap.onAfterRender = (renderer) => (renderer as WebGLRenderer).clearStencil();
  cap.visible = false;
  for (const part of [mesh, edges, ...counters]) part.renderOrder = 2 * at;
  cap.renderOrder = 2 * at + 1;
  return { id, rank, whole, mesh, edges, cap };
}

function counter(geometry: BufferGeometry, side: Side, op: StencilOp, plane: Plane): Mesh {
  const material = new MeshBasicMaterial({
    side, clippingPlanes: [plane], depthWrite: false, depthTest: false, colorWrite: false, stencilWrite: true,
    stencilFunc: AlwaysStencilFunc, stencilFail: op, stencilZFail: op, stencilZPass: op,
  }); // prettier-ignore
  return new Mesh(geometry, material);
}
