// The tank as a view that can be turned: one canvas, drawn when something changes.
//
//   const view = new TankView(canvas, labels, decode(bytes));
//   view.show("along", 0.35);
//
// bytes: a 32-bit length, a JSON header of that length, then the arrays that the header points to (turning.py writes
// them). Lengths are in metres; x runs along the tank, y from front to back, z up. No library is needed; a page in one
// file takes the modules one after another without their imports (page.py).

import { mesh, program, ramp, segments, volume } from "./graphics.js";
import { LINE_COLOURS, LINE_POINTS, SLICE_COLOURS, SLICE_POINTS, SOLID_COLOURS, SOLID_POINTS } from "./shaders.js";
import { body, prism, section, seen, times } from "./shapes.js";

export const NO_GRAPHICS = "this browser has no WebGL2";
const ARRAYS = { u1: Uint8Array, u4: Uint32Array, f4: Float32Array };
const AXES = { across: 0, along: 1, level: 2 };
const ANGLE = (24 * Math.PI) / 180; // of view, upright
const STEEPEST = 1.5; // of the eye over or under the tank [rad]
const TURN = 0.008,
  STEP = 0.12,
  ZOOM = 1.15; // by a pixel and by a key [rad], and by a key or a notch of the wheel
const NEAREST = 0.5,
  FARTHEST = 3; // distance of the eye, of the one that shows the whole tank
const SHARPEST = 1.5; // pixels of the picture to one of the page
const FILLED = 0.95,
  FRAMINGS = 12; // of the picture by the tank, and steps that find the distance for it
const PITCH = 0.018; // between strokes on a body, of the tank's length
const AMBIENT = 0.45,
  SHEER = 0.3; // share of the light from all round, which is all that falls on what is more see-through
const NOWHERE = [0, 0, 0, 1]; // a cut that takes nothing away

/** Bytes that were compressed and written as text. */
export async function unpack(text) {
  const bytes = Uint8Array.from(atob(text.trim()), (sign) => sign.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}

/** The header of a message, with its arrays in their places. */
export function decode(buffer) {
  const length = new DataView(buffer).getUint32(0, true);
  const text = new TextDecoder().decode(new Uint8Array(buffer, 4, length));
  const place = (key, value) =>
    value && value.array ? new ARRAYS[value.array](buffer, 4 + length + value.start, value.count) : value;
  return JSON.parse(text, place);
}

/** A tank on a canvas, with labels in an element that lies over it. */
export class TankView {
  constructor(canvas, labels, data) {
    const gl = canvas.getContext("webgl2", { stencil: true, antialias: true, alpha: false });
    if (!gl) throw new Error(NO_GRAPHICS);
    Object.assign(this, { canvas, labels, gl, mode: "pockets", at: 0, asked: false });
    this.solid = program(gl, SOLID_POINTS, SOLID_COLOURS);
    this.line = program(gl, LINE_POINTS, LINE_COLOURS);
    this.slice = program(gl, SLICE_POINTS, SLICE_COLOURS);
    this.load(data);
    this.reset();
    listen(this);
    new ResizeObserver(() => this.ask()).observe(canvas);
  }

  /** Take other data of a tank; the eye stays where it is. */
  load(data) {
    const gl = this.gl;
    (this.kept || []).forEach((each) => each.free());
    this.data = data;
    this.size = [...data.extent, data.height];
    this.field = volume(gl, data.shape, data.speed);
    this.colours = ramp(gl, data.colours);
    const parts = (shape, made) =>
      data.parts.filter((part) => part.shape === shape).map((part) => ({ ...part, ...made(part) }));
    this.solids = parts("surface", (part) => mesh(gl, part));
    this.prisms = parts("prism", (part) => mesh(gl, prism(part)));
    this.lines = parts("line", (part) => segments(gl, part.points));
    this.bodies = parts("body", (part) => mesh(gl, body(part, data)));
    this.kept = [this.field, this.colours, ...this.solids, ...this.prisms, ...this.lines, ...this.bodies];
    this.names = data.labels.map(named);
    this.labels.replaceChildren(...this.names);
    this.ask();
  }

  /** Show the pockets, or the section of a kind at a place on its axis [m]. */
  show(mode, at) {
    Object.assign(this, { mode, at });
    this.ask();
  }

  /** Look from where the tank was first seen. */
  reset() {
    const [x, y, z] = this.data.direction;
    this.turned = Math.atan2(y, x);
    this.raised = Math.asin(z);
    this.closer = 1;
    this.ask();
  }

  /** Turn and raise the eye [rad]. */
  turn(around, up) {
    this.turned += around;
    this.raised = Math.min(STEEPEST, Math.max(-STEEPEST, this.raised + up));
    this.ask();
  }

  /** Go nearer by a factor. */
  zoom(factor) {
    this.closer = Math.min(1 / NEAREST, Math.max(1 / FARTHEST, this.closer * factor));
    this.ask();
  }

  /** Draw before the next picture of the page, once. */
  ask() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.draw();
    });
  }

  draw() {
    const gl = this.gl;
    this.fit();
    gl.viewport(0, 0, this.canvas.width, this.canvas.height);
    gl.clearColor(1, 1, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    this.look();
    const cut = this.cut();
    for (const part of [...this.solids, ...this.prisms.filter((each) => each.opacity === 1)]) this.fill(part, cut);
    if (cut !== NOWHERE) this.drawSection(cut);
    for (const part of this.lines) this.stroke(part, cut);
    if (cut === NOWHERE) for (const part of this.bodies) this.veil(part);
    for (const part of this.prisms.filter((each) => each.opacity < 1)) this.wash(part, cut);
    this.place();
  }

  /** Give the canvas the pixels that it has on the page. */
  fit() {
    const ratio = Math.min(window.devicePixelRatio || 1, SHARPEST);
    const [width, height] = [this.canvas.clientWidth, this.canvas.clientHeight].map((side) =>
      Math.max(1, Math.round(side * ratio)),
    );
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
  }

  /** Look from where the tank was turned to, so far off that it fills the picture, or nearer. */
  look() {
    const flat = Math.cos(this.raised);
    const way = [flat * Math.cos(this.turned), flat * Math.sin(this.turned), Math.sin(this.raised)];
    let distance = 4 * Math.max(...this.size);
    let taken = this.taken(way, distance);
    for (let n = 0; n < FRAMINGS; n++) {
      distance *= Math.max(...taken.half) / FILLED;
      taken = this.taken(way, distance);
    }
    Object.assign(this, this.from(way, distance / this.closer, taken.middle));
  }

  /** The middle of what the tank takes of the picture, and half of its width and height. */
  taken(way, distance) {
    const { matrix } = this.from(way, distance, [0, 0]);
    const rims = [0, 1].flatMap((a) => [0, 1].flatMap((b) => [0, 1].map((c) => [a, b, c])));
    const places = rims.map((rim) => times(matrix, [...rim.map((share, axis) => share * this.size[axis]), 1]));
    const ends = [0, 1]
      .map((side) => places.map((at) => at[side] / at[3]))
      .map((all) => [Math.min(...all), Math.max(...all)]);
    return { middle: ends.map(([low, high]) => (low + high) / 2), half: ends.map(([low, high]) => (high - low) / 2) };
  }

  /** The eye in a direction from the tank, and the matrix that it sees by, shifted in the picture. */
  from(way, distance, shift) {
    const middle = this.size.map((length) => length / 2);
    const eye = middle.map((at, axis) => at + distance * way[axis]);
    const lens = { half: Math.tan(ANGLE / 2), aspect: this.canvas.width / this.canvas.height, shift };
    return { eye, matrix: seen(eye, middle, lens, distance / 50, distance + 2 * Math.hypot(...this.size)) };
  }

  /** The plane in front of which all is taken away: normal towards the eye, and place along it. */
  cut() {
    const axis = AXES[this.mode];
    if (axis === undefined) return NOWHERE;
    const sign = this.eye[axis] >= this.at ? 1 : -1;
    const normal = [0, 0, 0];
    normal[axis] = sign;
    return [...normal, sign * this.at];
  }

  /** What every program must know. */
  use(shader, cut) {
    this.gl.useProgram(shader.program);
    this.gl.uniformMatrix4fv(shader.at.matrix, false, this.matrix);
    this.gl.uniform4fv(shader.at.cut, cut);
  }

  fill(part, cut, opacity = 1, lowest = 0) {
    const { gl, solid } = this;
    this.use(solid, cut);
    gl.uniform3fv(solid.at.eye, this.eye);
    gl.uniform4fv(solid.at.colour, [...part.colour, opacity]);
    gl.uniform1f(solid.at.ambient, opacity < SHEER ? 1 : AMBIENT);
    gl.uniform1f(solid.at.lowest, lowest - 1e-4);
    gl.uniform1f(solid.at.pitch, part.hatch ? PITCH * this.size[0] : 0);
    gl.uniform3fv(solid.at.hatch, part.hatch || [0, 0, 0]);
    gl.uniform3fv(solid.at.way, part.ways ? part.ways[0] : [1, 0, 0]);
    gl.uniform3fv(solid.at.other, part.ways ? part.ways[part.ways.length - 1] : [1, 0, 0]);
    gl.bindVertexArray(part.shape3d);
    gl.drawArrays(gl.TRIANGLES, 0, part.count);
  }

  /** Lay a body over what is there: its nearest side alone, so that what stands in it is seen. */
  veil(part) {
    const gl = this.gl;
    gl.colorMask(false, false, false, false);
    this.fill(part, NOWHERE);
    gl.colorMask(true, true, true, true);
    this.blended(() => this.fill(part, NOWHERE, part.veil));
  }

  /** Lay a translucent face over what is there. */
  wash(part, cut) {
    this.gl.depthMask(false);
    this.blended(() => this.fill(part, cut, part.opacity));
    this.gl.depthMask(true);
  }

  blended(draw) {
    const gl = this.gl;
    gl.enable(gl.BLEND);
    gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA);
    draw();
    gl.disable(gl.BLEND);
  }

  stroke(part, cut) {
    const { gl, line } = this;
    this.use(line, cut);
    gl.uniform3fv(line.at.colour, part.colour);
    gl.uniform2f(line.at.width, part.width / this.canvas.width, part.width / this.canvas.height);
    gl.bindVertexArray(part.shape3d);
    gl.drawArrays(gl.TRIANGLES, 0, part.count);
  }

  /** The section: what of rock it cuts is counted pixel by pixel, then water and rock are coloured. */
  drawSection(cut) {
    const gl = this.gl;
    gl.enable(gl.STENCIL_TEST);
    gl.colorMask(false, false, false, false);
    gl.disable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.ALWAYS, 0, 255);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
    for (const part of this.solids.filter((each) => each.closed)) this.fill(part, cut, 1, -1e3);
    gl.colorMask(true, true, true, true);
    gl.enable(gl.DEPTH_TEST);
    gl.stencilOp(gl.KEEP, gl.KEEP, gl.KEEP);
    gl.polygonOffset(0, 0); // before what of the rock ends in it
    const face = mesh(gl, section(AXES[this.mode], this.at, this.data));
    for (const [test, rock] of [
      [gl.EQUAL, 0],
      [gl.NOTEQUAL, 1],
    ]) {
      gl.stencilFunc(test, 0, 255);
      this.colour(face, rock);
    }
    gl.polygonOffset(1, 1);
    gl.disable(gl.STENCIL_TEST);
    face.free();
  }

  colour(face, rock) {
    const { gl, slice, data } = this;
    this.use(slice, NOWHERE);
    gl.activeTexture(gl.TEXTURE0);
    gl.bindTexture(gl.TEXTURE_3D, this.field.texture);
    gl.activeTexture(gl.TEXTURE1);
    gl.bindTexture(gl.TEXTURE_2D, this.colours.texture);
    gl.uniform1i(slice.at.field, 0);
    gl.uniform1i(slice.at.colours, 1);
    gl.uniform3fv(slice.at.origin, data.origin);
    gl.uniform3fv(slice.at.spacing, data.spacing);
    gl.uniform3fv(slice.at.count, data.shape);
    gl.uniform2fv(slice.at.limits, data.limits);
    gl.uniform1f(slice.at.bed, data.bed);
    gl.uniform3fv(slice.at.sand, data.sand);
    gl.uniform4fv(slice.at.rock, [...data.rock, rock]);
    gl.bindVertexArray(face.shape3d);
    gl.drawArrays(gl.TRIANGLES, 0, face.count);
  }

  /** Put the labels where their things are seen, lower where one stands already: pockets' only with the pockets. */
  place() {
    const { clientWidth, clientHeight } = this.canvas;
    const axis = AXES[this.mode];
    const taken = [];
    this.data.labels.forEach((label, number) => {
      const [x, y, , w] = times(this.matrix, [...label.at, 1]);
      const name = this.names[number];
      name.hidden = label.kind === "pocket" && axis !== undefined;
      name.classList.toggle("elsewhere", Math.abs(label.at[axis] - this.at) > this.data.spacing[axis]);
      const [width, height] = [name.offsetWidth, name.offsetHeight]; // nothing where it is hidden
      const [right, seen] = [((x / w + 1) / 2) * clientWidth, ((1 - y / w) / 2) * clientHeight];
      const down = width ? clear({ right, down: seen, width, height }, taken) : seen;
      name.style.transform = `translate(${right}px, ${down}px) translate(-50%, -50%)`;
    });
  }
}

/** Pointer, wheel and keys; two fingers and upward strokes are left to the page. */
function listen(view) {
  const canvas = view.canvas;
  const keys = {
    ArrowLeft: () => view.turn(-STEP, 0),
    ArrowRight: () => view.turn(STEP, 0),
    ArrowUp: () => view.turn(0, STEP),
    ArrowDown: () => view.turn(0, -STEP),
    "+": () => view.zoom(ZOOM),
    "=": () => view.zoom(ZOOM),
    "-": () => view.zoom(1 / ZOOM),
    Home: () => view.reset(),
  };
  let last = null;
  canvas.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary) return;
    canvas.setPointerCapture(event.pointerId);
    last = [event.clientX, event.clientY];
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!last || !event.isPrimary) return;
    view.turn((last[0] - event.clientX) * TURN, (event.clientY - last[1]) * TURN);
    last = [event.clientX, event.clientY];
  });
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => (last = null));
  canvas.addEventListener(
    "wheel",
    (event) => {
      if (document.activeElement !== canvas) return; // the page scrolls until the view has been touched
      event.preventDefault();
      view.zoom(event.deltaY < 0 ? ZOOM : 1 / ZOOM);
    },
    { passive: false },
  );
  canvas.addEventListener("keydown", (event) => {
    if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    keys[event.key]();
  });
}

/** How far down a box must stand to meet none of those taken, of which it then is one. */
function clear(box, taken) {
  const meets = (other) =>
    Math.abs(other.right - box.right) < (other.width + box.width) / 2 &&
    Math.abs(other.down - box.down) < (other.height + box.height) / 2;
  while (taken.some(meets)) box.down += box.height / 4;
  taken.push(box);
  return box.down;
}

/** A label over the canvas. */
function named(label) {
  const name = document.createElement("span");
  name.className = label.kind;
  name.textContent = label.text;
  return name;
}
