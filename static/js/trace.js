// Lays a plot that zooms over every waveform with data-trace-url. If anything fails, the drawing below it stays.

const INKS = { found: "--doubt", left: "--ink", expected: "--in-hand", chosen: "--rule", earlier: "--edge" };
const DASHES = { found: [7, 5], expected: [1, 5], chosen: [12, 4] };
const WIDTHS = { found: 2.2, left: 2.4, expected: 2.6, chosen: 2.6, earlier: 1.2 };
const PREFIXES = [[1e9, "G"], [1e6, "M"], [1e3, "k"], [1, ""], [1e-3, "m"], [1e-6, "µ"], [1e-9, "n"], [1e-12, "p"]];
const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

function prefixFor(size) {
  return PREFIXES.find(([scale]) => Math.abs(size) >= scale) ?? [1, ""];
}

function written(value, unit) {
  if (value === null || value === undefined) return "–";
  const [scale, prefix] = value === 0 ? [1, ""] : prefixFor(value);
  return `${Number((value / scale).toPrecision(4))} ${prefix}${unit}`;
}

// One column of x for all traces, as the plot wants it.
function columns(traces) {
  return traces.length === 1 ? [traces[0].x, traces[0].y] : uPlot.join(traces.map((trace) => [trace.x, trace.y]));
}

// A whole reach of prefix and a name for an axis, so that its ticks read "2" under "time, µs".
function axis(described, reach, side) {
  const [scale, prefix] = prefixFor(reach);
  return {
    side, label: `${described.name}, ${prefix}${described.unit}`, stroke: ink("--quiet"), font: "18px Atkinson Hyperlegible, sans-serif",
    labelFont: "18px Atkinson Hyperlegible, sans-serif", labelSize: 26, size: side === 2 ? 34 : 58, space: side === 2 ? 70 : 40,
    grid: { stroke: ink("--hair"), width: 1 }, ticks: { stroke: ink("--edge"), width: 1 },
    values: (_, splits) => splits.map((split) => Number((split / scale).toPrecision(6)).toString().replace("-", "−")),
  };
}

function drawBands(plot, bands) {
  const { left, top, width, height } = plot.bbox;
  plot.ctx.save();
  plot.ctx.beginPath();
  plot.ctx.rect(left, top, width, height);
  plot.ctx.clip();
  for (const band of bands) {
    const high = band.high === null ? top : plot.valToPos(band.high, "y", true);
    const low = band.low === null ? top + height : plot.valToPos(band.low, "y", true);
    plot.ctx.globalAlpha = 0.16;
    plot.ctx.fillStyle = ink("--passed");
    plot.ctx.fillRect(left, high, width, low - high);
  }
  plot.ctx.restore();
}

// The name of each band, over the traces and with a rim of paper, so that it can be read across them.
function nameBands(plot, bands) {
  const { ctx, bbox } = plot, ratio = devicePixelRatio || 1;
  ctx.save();
  ctx.font = `${18 * ratio}px "Atkinson Hyperlegible", sans-serif`;
  Object.assign(ctx, { textAlign: "right", textBaseline: "alphabetic", lineWidth: 5 * ratio, lineJoin: "round" });
  Object.assign(ctx, { strokeStyle: ink("--sheet"), fillStyle: ink("--passed") });
  for (const band of bands.filter((each) => each.label)) {
    const high = band.high === null ? bbox.top : plot.valToPos(band.high, "y", true);
    const base = Math.max(high - 6 * ratio, bbox.top + 18 * ratio);
    ctx.strokeText(band.label, bbox.left + bbox.width - 6 * ratio, base);
    ctx.fillText(band.label, bbox.left + bbox.width - 6 * ratio, base);
  }
  ctx.restore();
}

// Each trace carries its name where it stands furthest from its start, on the part that is shown.
function nameTraces(plot, data) {
  const { ctx } = plot, ratio = devicePixelRatio || 1;
  const { min, max } = plot.scales.x;
  ctx.save();
  ctx.font = `700 ${18 * ratio}px "Atkinson Hyperlegible", sans-serif`;
  ctx.lineWidth = 5 * ratio;
  ctx.lineJoin = "round";
  ctx.textAlign = "left";
  ctx.textBaseline = "alphabetic";
  const placed = [];
  data.traces.filter((trace) => trace.name && trace.kind !== "earlier").forEach((trace) => {
    let best = -1, furthest = -1;
    trace.x.forEach((x, index) => {
      const distance = Math.abs(trace.y[index] - trace.y[0]);
      if (x >= min && x <= max && trace.y[index] !== null && distance > furthest) [best, furthest] = [index, distance];
    });
    if (best < 0) return;
    const width = ctx.measureText(trace.name).width;
    const left = Math.min(plot.valToPos(trace.x[best], "x", true) + 6 * ratio, plot.bbox.left + plot.bbox.width - width - 4 * ratio);
    let base = Math.max(plot.valToPos(trace.y[best], "y", true) - 7 * ratio, plot.bbox.top + 18 * ratio);
    while (placed.some(([x, end, y]) => left < end && left + width > x && Math.abs(base - y) < 20 * ratio)) base += 20 * ratio;
    placed.push([left, left + width, base]);
    ctx.strokeStyle = ink("--sheet");
    ctx.fillStyle = ink(INKS[trace.kind] ?? "--ink");
    ctx.strokeText(trace.name, left, base);
    ctx.fillText(trace.name, left, base);
  });
  ctx.restore();
}

// The reach of y over all traces and limits, with a little air.
function reachOfY(data) {
  let low = Infinity, high = -Infinity;
  for (const trace of data.traces) for (const y of trace.y) if (y !== null) { low = Math.min(low, y); high = Math.max(high, y); }
  for (const band of data.bands ?? []) for (const y of [band.low, band.high]) if (y !== null) { low = Math.min(low, y); high = Math.max(high, y); }
  const air = (high - low || 1) * 0.08;
  return [low - air, high + 1.5 * air];
}

function zoomTo(plot, whole, middle, factor) {
  const { min, max } = plot.scales.x;
  const width = Math.min((max - min) * factor, whole[1] - whole[0]);
  const share = max > min ? (middle - min) / (max - min) : 0.5;
  const start = Math.min(Math.max(middle - share * width, whole[0]), whole[1] - width);
  if (width > 0) plot.setScale("x", { min: start, max: start + width });
}

function move(plot, whole, by) {
  const { min, max } = plot.scales.x;
  const start = Math.min(Math.max(min + by, whole[0]), whole[1] - (max - min));
  plot.setScale("x", { min: start, max: start + max - min });
}

function middleOf(plot) {
  return (plot.scales.x.min + plot.scales.x.max) / 2;
}

// Wheel once the plot has been pressed (or with Ctrl), so that it does not catch a page being scrolled.
function followWheel(live, plot, whole) {
  plot.over.addEventListener("wheel", (event) => {
    if (document.activeElement !== live && !event.ctrlKey) return;
    event.preventDefault();
    const at = plot.posToVal(event.clientX - plot.over.getBoundingClientRect().left, "x");
    zoomTo(plot, whole, at, event.deltaY < 0 ? 0.8 : 1.25);
  }, { passive: false });
}

// Two fingers zoom and one moves; up and down still scrolls the page.
function followFingers(live, plot, whole) {
  const fingers = new Map();
  const gap = () => { const [a, b] = [...fingers.values()]; return Math.max(Math.abs(a - b), 8); };
  plot.over.addEventListener("pointerdown", (event) => {
    live.focus({ preventScroll: true });
    if (event.pointerType === "touch") fingers.set(event.pointerId, event.clientX);
  });
  plot.over.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    const box = plot.over.getBoundingClientRect();
    const before = fingers.size === 2 ? gap() : fingers.get(event.pointerId);
    fingers.set(event.pointerId, event.clientX);
    if (fingers.size === 2) {
      const [a, b] = [...fingers.values()];
      zoomTo(plot, whole, plot.posToVal((a + b) / 2 - box.left, "x"), before / gap());
    } else if (fingers.size === 1) {
      move(plot, whole, ((before - event.clientX) / box.width) * (plot.scales.x.max - plot.scales.x.min));
    }
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) {
    plot.over.addEventListener(end, (event) => fingers.delete(event.pointerId));
  }
}

function followKeys(live, plot, whole) {
  live.addEventListener("keydown", (event) => {
    const step = (plot.scales.x.max - plot.scales.x.min) / 10;
    const acts = {
      "+": () => zoomTo(plot, whole, middleOf(plot), 0.7), "=": () => zoomTo(plot, whole, middleOf(plot), 0.7),
      "-": () => zoomTo(plot, whole, middleOf(plot), 1.4), "0": () => plot.setScale("x", { min: whole[0], max: whole[1] }),
      ArrowLeft: () => move(plot, whole, -step), ArrowRight: () => move(plot, whole, step),
    };
    if (event.ctrlKey || event.metaKey || event.altKey || !acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });
}

function tools(plot, whole) {
  const row = Object.assign(document.createElement("div"), { className: "trace-tools" });
  const button = (word, act) => {
    const made = Object.assign(document.createElement("button"), { type: "button", textContent: word });
    made.addEventListener("click", act);
    row.append(made);
  };
  button("Nearer", () => zoomTo(plot, whole, middleOf(plot), 0.6));
  button("Further", () => zoomTo(plot, whole, middleOf(plot), 1.6));
  button("Whole trace", () => plot.setScale("x", { min: whole[0], max: whole[1] }));
  row.append(document.createElement("output"));
  return row;
}

function readOut(plot, row, data) {
  const at = plot.cursor.idx;
  const shown = data.traces.map((trace, index) => [trace, at === null ? null : plot.data[index + 1][at]])
    .filter(([trace, y]) => trace.kind !== "earlier" && y !== null && y !== undefined)
    .map(([trace, y]) => `${trace.name} ${written(y, data.y.unit)}`);
  row.querySelector("output").textContent = at === null ? "" : [written(plot.data[0][at], data.x.unit), ...shown].join(", ");
}

// Where the samples came thinned, the stretch that is looked at is fetched again, finer.
function refiner(figure, data, whole) {
  let waiting = null, asked = 0, drawn = whole;
  return (plot) => {
    if (!data.thinned) return;
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      const { min, max } = plot.scales.x;
      if (min === drawn[0] && max === drawn[1]) return;
      drawn = [min, max];
      const address = new URL(figure.dataset.traceUrl, location.href), turn = ++asked;
      address.searchParams.set("start_s", min);
      address.searchParams.set("stop_s", max);
      try {
        const answer = await fetch(address, { headers: { Accept: "application/json" } });
        if (!answer.ok || turn !== asked) return;
        data.traces = (await answer.json()).traces;
        plot.setData(columns(data.traces), false);
        plot.redraw();
      } catch (trouble) {
        console.warn("The finer samples could not be fetched:", trouble);
      }
    }, 250);
  };
}

function plotIn(figure, drawing, data) {
  const live = Object.assign(document.createElement("div"), { className: "trace-live", tabIndex: 0 });
  live.setAttribute("role", "group");
  live.setAttribute("aria-label", `${drawing.getAttribute("aria-label")}. Plus and minus zoom, arrows move, 0 shows the whole trace.`);
  const table = columns(data.traces);
  const whole = [table[0][0], table[0][table[0].length - 1]];
  const [low, high] = reachOfY(data);
  const size = () => ({ width: Math.max(figure.clientWidth, 200), height: drawing.clientHeight || drawing.getBoundingClientRect().height || 360 });
  let row = null;
  const refine = refiner(figure, data, whole);
  const { width, height } = size();
  const plot = new uPlot({
    width, height, legend: { show: false },
    scales: { x: { time: false }, y: { range: [low, high] } },
    axes: [axis(data.x, Math.max(...whole.map(Math.abs)), 2), axis(data.y, Math.max(Math.abs(low), Math.abs(high)), 3)],
    cursor: { drag: { x: true, y: false, setScale: true }, y: false, points: { size: 8 } },
    series: [{}, ...data.traces.map((trace) => ({
      label: trace.name, stroke: () => ink(INKS[trace.kind] ?? "--ink"), width: WIDTHS[trace.kind] ?? 2, dash: DASHES[trace.kind],
      spanGaps: true, points: { show: false },
    }))],
    hooks: { draw: [(drawn) => nameBands(drawn, data.bands ?? []), (drawn) => nameTraces(drawn, data)], drawClear: [(drawn) => drawBands(drawn, data.bands ?? [])], setScale: [(scaled, key) => key === "x" && row && refine(scaled)], setCursor: [(moved) => row && readOut(moved, row, data)] },
  }, table, live);
  row = tools(plot, whole);
  followWheel(live, plot, whole);
  followFingers(live, plot, whole);
  followKeys(live, plot, whole);
  drawing.before(live);
  live.after(row);
  return { live, row, plot, fit: () => plot.setSize({ width: size().width, height }) };
}

async function enliven(figure) {
  const drawing = figure.querySelector("svg");
  if (!drawing || figure.dataset.traceLive || typeof uPlot === "undefined") return;
  figure.dataset.traceLive = "1";
  try {
    const answer = await fetch(figure.dataset.traceUrl, { headers: { Accept: "application/json" } });
    if (!answer.ok) return;
    const data = await answer.json();
    if (!data.traces?.length) return;
    await document.fonts?.ready;
    let made = plotIn(figure, drawing, data);
    figure.classList.add("is-live");
    new ResizeObserver(() => made.fit()).observe(figure);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
      figure.classList.remove("is-live");
      made.plot.destroy(); made.live.remove(); made.row.remove();
      made = plotIn(figure, drawing, data);
      figure.classList.add("is-live");
    });
  } catch (trouble) {
    console.warn("The waveform stays as drawn:", trouble);
  }
}

function enlivenAll(root) {
  root.querySelectorAll("figure[data-trace-url]").forEach(enliven);
}

enlivenAll(document);
document.addEventListener("htmx:load", (event) => enlivenAll(event.target));
