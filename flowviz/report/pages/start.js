// The view of this page, and the controls beside it. Where it cannot be drawn, the still stays in its place.

const AXIS = { across: 0, along: 1, level: 2 };
const ENDS = ["from the left", "from the front", "above the floor"];

async function start(part) {
  const tanks = [...part.querySelectorAll("script.tank")];
  const form = part.querySelector("form");
  const read = async (number) => decode(await unpack(tanks[number].textContent));
  const last = await read(tanks.length - 1);
  part.classList.add("live");
  const view = new TankView(part.querySelector("canvas"), part.querySelector("#labels"), last);
  const [row, slider, told] = [".place", "#at", "output"].map((name) => part.querySelector(name));
  const at = [...view.data.at];

  const show = () => {
    const mode = form.elements.mode.value;
    const axis = AXIS[mode];
    row.hidden = axis === undefined;
    part.querySelector(".scale").hidden = row.hidden;
    if (axis === undefined) return view.show(mode, 0);
    const size = axis === 2 ? view.data.depth : view.data.extent[axis];
    slider.max = size;
    slider.value = at[axis];
    slider.step = size / 200;
    tell(axis);
    view.show(mode, at[axis]);
  };
  const tell = (axis) => {
    const { unit, perMetre } = told.dataset;
    told.value = `${(at[axis] * perMetre).toPrecision(3)} ${unit} ${ENDS[axis]}`;
  };
  slider.addEventListener("input", () => {
    const axis = AXIS[form.elements.mode.value];
    at[axis] = Number(slider.value);
    tell(axis);
    view.show(form.elements.mode.value, at[axis]);
  });
  form.addEventListener("change", async (event) => {
    if (event.target.name === "layout") view.load(await read(Number(event.target.value)));
    if (event.target.type === "radio") show();
  });
  const buttons = { nearer: () => view.zoom(1.25), farther: () => view.zoom(0.8), reset: () => view.reset() };
  for (const button of part.querySelectorAll("button")) button.addEventListener("click", buttons[button.dataset.do]);
  show();
}

const part = document.getElementById("turn");
start(part).catch((fault) => {
  part.classList.remove("live");
  if (fault.message !== NO_GRAPHICS) throw fault;
});
