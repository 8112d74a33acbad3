// The screens of a lesson: the slider of a look says in words where it stands and draws its doubt; the line of steps is
// brought to the step that is open; a sentence that changes is marked for a moment; a golfer is met where they were left.
const place = (lesson) => `ferrule-step ${lesson}`;

const stand = (slider) => {
  const words = JSON.parse(slider.dataset.words);
  const low = Number(slider.min);
  const said = words[Math.round(Number(slider.value)) - low] ?? "";
  const form = slider.closest("form");
  slider.parentElement.style.setProperty("--at", (Number(slider.value) - low) / (Number(slider.max) - low));
  const shown = form.querySelector("[data-slider-words]");
  if (shown && shown.textContent !== said) shown.textContent = said;
  slider.setAttribute("aria-valuetext", `${said}, ${slider.dataset.doubt}`);
};

const steps = (line) => {
  const row = line.querySelector("ol");
  const here = line.querySelector("[aria-current]");
  if (row && here) row.scrollLeft = here.offsetLeft - (row.clientWidth - here.offsetWidth) / 2;
  try {
    if (line.dataset.here) localStorage.setItem(place(line.dataset.lesson), line.dataset.here);
  } catch {}
};

export function begin(line) {
  const desk = line.closest(".desk");
  steps(line);
  const every = () => desk.querySelectorAll("input[data-words]").forEach(stand);
  every();
  // After the frame, so that what was half typed is back in its field.
  requestAnimationFrame(every);
  desk.addEventListener("input", (e) => e.target.matches("input[data-words]") && stand(e.target));
  desk.addEventListener("reset", () => requestAnimationFrame(every), true);
  desk.addEventListener("click", (e) => {
    const other = e.target.closest?.("#switch a[data-lesson]");
    if (!other) return;
    try {
      const left = localStorage.getItem(place(other.dataset.lesson));
      if (left) other.href = `/lessons/${other.dataset.lesson}/${left}`;
    } catch {}
  });
  new MutationObserver((changes) => {
    for (const { target } of changes) {
      const said = (target.nodeType === 1 ? target : target.parentElement)?.closest?.("[data-says]");
      if (!said) continue;
      said.classList.add("changed");
      clearTimeout(said.calm);
      said.calm = setTimeout(() => said.classList.remove("changed"), 2500);
    }
    every();
  }).observe(desk, { subtree: true, childList: true, characterData: true });
}
