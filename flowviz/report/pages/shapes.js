// Shapes as points and triangles, and the little of vectors that they need.

const SHARP = 0.8; // cosine between a face and the mean of its neighbours, below which an edge is seen

export const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const unit = (a) => Array.from(a, (part) => part / (Math.hypot(...a) || 1));
export const times = (m, v) =>
  [0, 1, 2, 3].map((row) => m[row] * v[0] + m[row + 4] * v[1] + m[row + 8] * v[2] + m[row + 12] * v[3]);

/** The matrix, column by column, of an eye that looks at a point; half is the tangent of half its angle, upright. */
export function seen(eye, point, { half, aspect, shift }, near, far) {
  const back = unit(minus(eye, point));
  const right = unit(cross([0, 0, 1], back));
  const up = cross(back, right);
  const [a, b] = [(far + near) / (near - far), (2 * far * near) / (near - far)];
  const depth = [...back.map((part) => -part), dot(back, eye)];
  const rows = [
    [...right, -dot(right, eye)].map((part, n) => part / (half * aspect) - shift[0] * depth[n]),
    [...up, -dot(up, eye)].map((part, n) => part / half - shift[1] * depth[n]),
    [...back.map((part) => a * part), -a * dot(back, eye) + b],
    depth,
  ];
  return new Float32Array([0, 1, 2, 3].flatMap((column) => rows.map((row) => row[column])));
}

/** Corners and normals, 3 numbers a corner and 3 corners a triangle: smooth, but where a face bends from the mean. */
export function corners({ points, triangles }) {
  const means = normals(points, triangles);
  const found = { points: new Float32Array(3 * triangles.length), normals: new Float32Array(3 * triangles.length) };
  for (let n = 0; n < triangles.length; n += 3) {
    const face = faceOf(points, triangles, n);
    const three = [0, 1, 2].map((corner) => unit(vertex(means, triangles[n + corner])));
    const sharp = three.some((mean) => dot(mean, unit(face)) < SHARP);
    for (let corner = 0; corner < 3; corner++) {
      found.points.set(vertex(points, triangles[n + corner]), 3 * (n + corner));
      found.normals.set(sharp ? unit(face) : three[corner], 3 * (n + corner));
    }
  }
  return found;
}

/** Normals of points (3 numbers a point), each the mean of the faces round it. */
function normals(points, triangles) {
  const found = new Float32Array(points.length);
  for (let n = 0; n < triangles.length; n += 3) {
    const face = faceOf(points, triangles, n);
    for (let corner = 0; corner < 3; corner++) {
      for (let axis = 0; axis < 3; axis++) found[3 * triangles[n + corner] + axis] += face[axis];
    }
  }
  return found;
}

const vertex = (values, n) => values.subarray(3 * n, 3 * n + 3);

/** The normal of a triangle, as long as twice its area. */
function faceOf(points, triangles, n) {
  const [a, b, c] = [0, 1, 2].map((corner) => vertex(points, triangles[n + corner]));
  return cross(minus(b, a), minus(c, a));
}

/** A floor plan raised from one height to another; its faces and its sides have corners of their own. */
export function prism({ outline, low, high }) {
  const corners = outline.length / 2;
  const points = [];
  const triangles = [];
  const ring = (height) => {
    for (let n = 0; n < corners; n++) points.push(outline[2 * n], outline[2 * n + 1], height);
    return points.length / 3 - corners;
  };
  const plan = ears(outline);
  for (const height of [low, high]) {
    const first = ring(height);
    triangles.push(...plan.map((corner) => first + corner));
  }
  if (high > low) {
    const [below, above] = [ring(low), ring(high)];
    for (let n = 0; n < corners; n++) {
      const next = (n + 1) % corners;
      triangles.push(below + n, below + next, above + next, below + n, above + next, above + n);
    }
  }
  return { points: new Float32Array(points), triangles: new Uint32Array(triangles) };
}

/** Triangles of a counter-clockwise polygon: one corner after another that has no other in its triangle is cut off. */
function ears(outline) {
  const at = (n) => [outline[2 * n], outline[2 * n + 1]];
  const side = (a, b, c) => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
  const left = [...Array(outline.length / 2).keys()];
  const triangles = [];
  while (left.length > 3) {
    const ear = left.findIndex((b, n) => {
      const a = left[(n + left.length - 1) % left.length];
      const c = left[(n + 1) % left.length];
      const inside = (p) =>
        p !== a &&
        p !== b &&
        p !== c &&
        side(at(a), at(b), at(p)) >= 0 &&
        side(at(b), at(c), at(p)) >= 0 &&
        side(at(c), at(a), at(p)) >= 0;
      return side(at(a), at(b), at(c)) > 0 && !left.some(inside);
    });
    const n = Math.max(ear, 0);
    triangles.push(left[(n + left.length - 1) % left.length], left[n], left[(n + 1) % left.length]);
    left.splice(n, 1);
  }
  return [...triangles, ...left];
}

/** The water's share of a plane square to an axis. */
export function section(axis, at, { outline, depth }) {
  if (axis === 2) return prism({ outline, low: at, high: at });
  const points = [];
  const triangles = [];
  const crossings = crossed(outline, axis, at);
  for (let n = 0; n + 1 < crossings.length; n += 2) {
    const first = points.length / 3;
    for (const [along, up] of [
      [crossings[n], 0],
      [crossings[n + 1], 0],
      [crossings[n + 1], depth],
      [crossings[n], depth],
    ]) {
      points.push(...(axis === 0 ? [at, along, up] : [along, at, up]));
    }
    triangles.push(first, first + 1, first + 2, first, first + 2, first + 3);
  }
  return { points: new Float32Array(points), triangles: new Uint32Array(triangles) };
}

/** Where the edges of a plan cross a line square to an axis, in order. */
function crossed(outline, axis, at) {
  const found = [];
  for (let n = 0; n < outline.length; n += 2) {
    const next = (n + 2) % outline.length;
    const [from, to] = [outline[n + axis], outline[next + axis]];
    const [start, end] = [outline[n + 1 - axis], outline[next + 1 - axis]];
    if (from <= at !== to <= at) found.push(start + ((at - from) / (to - from)) * (end - start));
  }
  return found.sort((a, b) => a - b);
}

/** A closed surface round the marked cells, laid between them and their neighbours by the speed (surface nets). */
export function body({ mark, beyond }, { shape, origin, spacing, speed, marks, limits }) {
  const wide = shape.map((count) => count + 2); // with a layer of unmarked cells all round
  const strides = [1, wide[0], wide[0] * wide[1]];
  const depth = depths(shape, strides, (cell) => {
    const past = beyond === "under" ? 255 * limits[0] - speed[cell] : speed[cell] - 255 * limits[1];
    return marks[cell] & mark ? Math.max(past, 0.5) : Math.min(past, -0.5);
  });
  const points = [];
  const number = new Int32Array(depth.length).fill(-1);
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].map(
    (n) => (n & 1) * strides[0] + ((n >> 1) & 1) * strides[1] + (n >> 2) * strides[2],
  );
  everywhere(
    wide.map((count) => count - 1),
    strides,
    (at, i, j, k) => {
      const values = corners.map((step) => depth[at + step]);
      if (values.every((value) => value > 0) || values.every((value) => !(value > 0))) return;
      const middle = crossing(values);
      number[at] = points.length / 3;
      [i, j, k].forEach((cell, axis) => points.push(origin[axis] + (cell - 1 + middle[axis]) * spacing[axis]));
    },
  );
  return { points: new Float32Array(points), triangles: faces(depth, wide, strides, number) };
}

/** How far each cell is past the limit, NaN all round. */
function depths(shape, strides, value) {
  const found = new Float32Array(shape.reduce((product, count) => product * (count + 2), 1)).fill(NaN);
  let cell = 0;
  for (let k = 1; k <= shape[2]; k++) {
    for (let j = 1; j <= shape[1]; j++) {
      for (let i = 1; i <= shape[0]; i++) found[i + j * strides[1] + k * strides[2]] = value(cell++);
    }
  }
  return found;
}

/** The mean of where the edges of a cube of values cross zero, in cubes. */
function crossing(values) {
  const sum = [0, 0, 0];
  let count = 0;
  for (let corner = 0; corner < 8; corner++) {
    for (const bit of [1, 2, 4]) {
      if (corner & bit || values[corner] > 0 === values[corner | bit] > 0) continue;
      const share = values[corner] / (values[corner] - values[corner | bit]);
      const place = [corner & 1, (corner >> 1) & 1, corner >> 2];
      place[bit >> 1] += Number.isNaN(share) ? 0.5 : share; // half a cell beyond the last lies the glass
      place.forEach((at, axis) => (sum[axis] += at));
      count++;
    }
  }
  return sum.map((at) => at / count);
}

/** Two triangles across each pair of neighbours of which one is past the limit. */
function faces(depth, wide, strides, number) {
  const triangles = [];
  everywhere(
    wide.map((count) => count - 1),
    strides,
    (at) => {
      for (let axis = 0; axis < 3; axis++) {
        if (depth[at] > 0 === depth[at + strides[axis]] > 0) continue;
        const [one, other] = [strides[(axis + 1) % 3], strides[(axis + 2) % 3]];
        const [a, b, c, d] = [at, at - one, at - one - other, at - other].map((cube) => number[cube]);
        triangles.push(...(depth[at] > 0 ? [a, b, c, a, c, d] : [a, c, b, a, d, c]));
      }
    },
  );
  return new Uint32Array(triangles);
}

function everywhere(counts, strides, visit) {
  for (let k = 0; k < counts[2]; k++) {
    for (let j = 0; j < counts[1]; j++) {
      for (let i = 0; i < counts[0]; i++) visit(i + j * strides[1] + k * strides[2], i, j, k);
    }
  }
}
