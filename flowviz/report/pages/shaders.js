// What the graphics card runs: solids and bodies, lines as wide as pixels ask, and the section.

export const SOLID_POINTS = `
layout(location = 0) in vec3 point;
layout(location = 1) in vec3 normal;
uniform mat4 matrix;
out vec3 place;
out vec3 upright;
void main() {
  place = point;
  upright = normal;
  gl_Position = matrix * vec4(point, 1.0);
}`;

export const SOLID_COLOURS = `
in vec3 place;
in vec3 upright;
uniform vec4 cut, colour;
uniform vec3 eye, hatch, way, other;
uniform float lowest, pitch, ambient;
out vec4 pixel;
float stroke(vec3 along) {
  float at = dot(place, along) / pitch;
  float away = min(fract(at), 1.0 - fract(at)) / max(fwidth(at), 1e-4);
  return 1.0 - smoothstep(0.5, 1.3, away);
}
void main() {
  if (dot(cut.xyz, place) > cut.w + 1e-5 || place.z < lowest) discard;
  float light = min(1.0, ambient + 0.6 * abs(dot(normalize(upright), normalize(eye - place))));
  vec3 lit = colour.rgb * light;
  if (pitch > 0.0) lit = mix(lit, hatch, max(stroke(way), stroke(other)));
  pixel = vec4(lit, colour.a);
}`;

export const LINE_POINTS = `
layout(location = 0) in vec3 start;
layout(location = 1) in vec3 end;
layout(location = 2) in vec2 corner;
uniform mat4 matrix;
uniform vec2 width;
out vec3 place;
void main() {
  vec4 a = matrix * vec4(start, 1.0), b = matrix * vec4(end, 1.0);
  vec2 way = (b.xy / b.w - a.xy / a.w) / width;
  vec2 aside = length(way) > 1e-6 ? normalize(vec2(-way.y, way.x)) * width : vec2(0.0);
  vec4 at = corner.x < 0.5 ? a : b;
  place = corner.x < 0.5 ? start : end;
  gl_Position = vec4(at.xy + corner.y * aside * at.w, at.zw);
}`;

export const LINE_COLOURS = `
in vec3 place;
uniform vec4 cut;
uniform vec3 colour;
out vec4 pixel;
void main() {
  bool gone = dot(cut.xyz, place) > cut.w + 1e-4;
  pixel = vec4(gone ? mix(colour, vec3(1.0), 0.7) : colour, 1.0);
}`;

export const SLICE_POINTS = `
layout(location = 0) in vec3 point;
uniform mat4 matrix;
out vec3 place;
void main() {
  place = point;
  gl_Position = matrix * vec4(point, 1.0);
}`;

export const SLICE_COLOURS = `
in vec3 place;
uniform sampler3D field;
uniform sampler2D colours;
uniform vec4 rock;
uniform vec3 origin, spacing, count, sand;
uniform vec2 limits;
uniform float bed;
out vec4 pixel;
bool stroke(float at, float every) { return mod(at, every) < 1.6; }
void main() {
  if (rock.a > 0.5) { pixel = vec4(rock.rgb, 1.0); return; }
  if (place.z < bed) { pixel = vec4(sand, 1.0); return; }
  float speed = texture(field, ((place - origin) / spacing + 0.5) / count).r;
  vec3 shade = texture(colours, vec2(speed, 0.5)).rgb;
  vec2 edge = abs(speed - limits) / max(fwidth(speed), 1e-3);
  float rising = gl_FragCoord.x - gl_FragCoord.y, falling = gl_FragCoord.x + gl_FragCoord.y;
  if (speed < limits.x && stroke(rising, 9.0)) shade = vec3(1.0);
  if (speed > limits.y && (stroke(rising, 8.0) || stroke(falling, 8.0))) shade = vec3(0.0);
  if (edge.x < 1.0 && mod(falling + rising, 14.0) < 9.0) shade = vec3(1.0);
  if (edge.y < 1.0) shade = vec3(0.0);
  pixel = vec4(shade, 1.0);
}`;
