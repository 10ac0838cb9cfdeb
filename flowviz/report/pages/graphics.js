// What lies in the memory of the graphics card: programs, shapes, the field and its colours.

import { corners } from "./shapes.js";

export function program(gl, points, colours) {
  const made = gl.createProgram();
  for (const [kind, text] of [
    [gl.VERTEX_SHADER, points],
    [gl.FRAGMENT_SHADER, colours],
  ]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, `#version 300 es\nprecision highp float;\nprecision highp sampler3D;\n${text}`);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
    if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made));
  const names = [...Array(gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS)).keys()].map(
    (n) => gl.getActiveUniform(made, n).name,
  );
  return { program: made, at: Object.fromEntries(names.map((name) => [name, gl.getUniformLocation(made, name)])) };
}

/** Arrays that a program reads: [values, [numbers of each of its inputs]], all of one length. */
function drawn(gl, count, ...inputs) {
  const shape3d = gl.createVertexArray();
  gl.bindVertexArray(shape3d);
  let place = 0;
  const buffers = inputs.map(([values, sizes]) => {
    const made = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, made);
    gl.bufferData(gl.ARRAY_BUFFER, values, gl.STATIC_DRAW);
    const stride = 4 * sizes.reduce((sum, size) => sum + size);
    sizes.reduce((start, size) => {
      gl.enableVertexAttribArray(place);
      gl.vertexAttribPointer(place++, size, gl.FLOAT, false, stride, start);
      return start + 4 * size;
    }, 0);
    return made;
  });
  gl.bindVertexArray(null);
  const free = () => {
    gl.deleteVertexArray(shape3d);
    buffers.forEach((each) => gl.deleteBuffer(each));
  };
  return { shape3d, count, free };
}

export function mesh(gl, shape) {
  const { points, normals } = corners(shape);
  return drawn(gl, points.length / 3, [points, [3]], [normals, [3]]);
}

/** A line as strips that the program makes as wide as pixels ask. */
export function segments(gl, points) {
  const values = [];
  for (let n = 3; n < points.length; n += 3) {
    const ends = [...points.subarray(n - 3, n + 3)];
    for (const corner of [
      [0, -1],
      [1, -1],
      [1, 1],
      [0, -1],
      [1, 1],
      [0, 1],
    ])
      values.push(...ends, ...corner);
  }
  return drawn(gl, values.length / 8, [new Float32Array(values), [3, 3, 2]]);
}

export function volume(gl, shape, values) {
  const made = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_3D, made);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  gl.texImage3D(gl.TEXTURE_3D, 0, gl.R8, ...shape, 0, gl.RED, gl.UNSIGNED_BYTE, values);
  gl.texParameteri(gl.TEXTURE_3D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
  for (const side of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T, gl.TEXTURE_WRAP_R])
    gl.texParameteri(gl.TEXTURE_3D, side, gl.CLAMP_TO_EDGE);
  return { texture: made, free: () => gl.deleteTexture(made) };
}

export function ramp(gl, colours) {
  const made = gl.createTexture();
  gl.bindTexture(gl.TEXTURE_2D, made);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGB8, colours.length / 3, 1, 0, gl.RGB, gl.UNSIGNED_BYTE, colours);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
  return { texture: made, free: () => gl.deleteTexture(made) };
}
