// Moves the line sketches of a swing with the finger: all frames came with the page, nothing is asked of the server.
// The lines are those that web/pictures/swing_sketch.py draws; a frame is a time in 0.1 ms and five places in mm.
const PLACES = 5;
const WIDTH = 1 + 3 * PLACES;
const LINES = { collar: [null, 0], arm: [0, 1], hand: [1, 2], shaft: [2, 3], edge: [3, 4] };
const SLOWER = 4;

function table(text) {
  if (!text) return null;
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const view = new DataView(bytes.buffer);
  const rows = bytes.length / 2 / WIDTH;
  const time = new Float64Array(rows);
  const spots = new Float64Array(rows * 3 * PLACES);
  for (let i = 0; i < rows; i++) {
    time[i] = view.getInt16(2 * i * WIDTH, true) / 10;
    for (let k = 0; k < 3 * PLACES; k++) spots[i * 3 * PLACES + k] = view.getInt16(2 * (i * WIDTH + 1 + k), true) / 1000;
  }
  return { time, spots, now: new Float64Array(3 * PLACES) };
}

// The places at a time in ms, between two frames on a straight line.
function at(swing, ms) {
  const { time, spots, now } = swing;
  let low = 0;
  let high = time.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle] <= ms) low = middle;
    else high = middle;
  }
  const share = Math.min(1, Math.max(0, (ms - time[low]) / (time[high] - time[low] || 1)));
  for (let k = 0; k < now.length; k++) now[k] = (1 - share) * spots[low * now.length + k] + share * spots[high * now.length + k];
  return now;
}

export function begin(part) {
  const swings = { own: table(part.dataset.frames), ghost: table(part.dataset.ghost) };
  const marks = JSON.parse(part.dataset.marks);
  const sign = Number(part.dataset.sign);
  const scale = Number(part.dataset.scale);
  const slider = part.querySelector("input[type=range]");
  const said = part.querySelector("[data-said]");
  const jumps = [...part.querySelectorAll("button[data-at]")];
  const play = part.querySelector("button[data-play]");
  const lines = [];
  for (const svg of part.querySelectorAll("svg[data-view]")) {
    const [axis, x, y] = [Number(svg.dataset.axis), Number(svg.dataset.x), Number(svg.dataset.y)];
    const place = (spots, i) => [x + sign * scale * spots[3 * i + axis], y - scale * spots[3 * i + 1]];
    for (const node of svg.querySelectorAll("[data-part]")) {
      const swing = node.closest("[data-swing]")?.dataset.swing ?? "own";
      lines.push({ node, swing, place, ends: LINES[node.dataset.part] });
    }
  }
  let wanted = Number(slider.value);
  let drawn = null;
  let waiting = 0;

  function draw() {
    waiting = 0;
    if (wanted === drawn) return;
    drawn = wanted;
    const spots = {};
    for (const name in swings) if (swings[name]) spots[name] = at(swings[name], drawn);
    for (const { node, swing, place, ends } of lines) {
      if (!spots[swing]) continue;
      if (!ends) {
        const [x, y] = place(spots[swing], 4);
        node.setAttribute("cx", x.toFixed(1));
        node.setAttribute("cy", y.toFixed(1));
        continue;
      }
      ends.forEach((end, i) => {
        if (end === null) return;
        const [x, y] = place(spots[swing], end);
        node.setAttribute(`x${i + 1}`, x.toFixed(1));
        node.setAttribute(`y${i + 1}`, y.toFixed(1));
      });
    }
    const words = where(drawn);
    said.textContent = words;
    slider.setAttribute("aria-valuetext", words);
    for (const each of jumps) each.setAttribute("aria-pressed", String(Math.abs(Number(each.dataset.at) - drawn) < 3));
    part.dataset.frame = String(Number(part.dataset.frame || 0) + 1);
  }
  function where(ms) {
    const here = marks.find(([, time]) => Math.abs(time - ms) < 3);
    const top = marks.find(([name]) => name === "top");
    const words = here ? here[2] : top && ms < top[1] ? "going up" : "coming down";
    const capital = words[0].toUpperCase() + words.slice(1);
    if ("plain" in part.dataset || here?.[0] === "impact") return `${capital}.`;
    const time = `${(Math.abs(ms) / 1000).toFixed(2)} s before ${part.dataset.end}`;
    return `${capital}, ${time}.`;
  }
  function go(ms) {
    wanted = Math.min(Number(slider.max), Math.max(Number(slider.min), ms));
    slider.value = String(wanted);
    waiting ||= requestAnimationFrame(draw);
  }

  slider.addEventListener("input", () => {
    stop();
    go(Number(slider.value));
  });
  for (const each of jumps)
    each.addEventListener("click", () => {
      stop();
      go(Number(each.dataset.at));
    });

  // A finger drawn across the sketches scrubs too.
  const stage = part.querySelector("[data-stage]");
  let from = null;
  stage.addEventListener("pointerdown", (event) => {
    if (event.pointerType === "mouse" && event.button !== 0) return;
    stop();
    from = { x: event.clientX, ms: wanted };
    stage.setPointerCapture(event.pointerId);
  });
  stage.addEventListener("pointermove", (event) => {
    if (from) go(from.ms + ((event.clientX - from.x) / stage.clientWidth) * (Number(slider.max) - Number(slider.min)));
  });
  for (const name of ["pointerup", "pointercancel"]) stage.addEventListener(name, () => (from = null));

  // Played only when asked for, at a quarter of the speed.
  let playing = 0;
  function stop() {
    cancelAnimationFrame(playing);
    playing = 0;
    play.textContent = play.dataset.play;
  }
  play.addEventListener("click", () => {
    if (playing) return stop();
    const start = wanted >= Number(slider.max) - 5 ? Number(slider.min) : wanted;
    const began = performance.now();
    play.textContent = play.dataset.stop;
    const step = (now) => {
      const ms = start + (now - began) / SLOWER;
      go(ms);
      if (ms >= Number(slider.max) || !part.isConnected) stop();
      else playing = requestAnimationFrame(step);
    };
    playing = requestAnimationFrame(step);
  });
  go(wanted);
}
