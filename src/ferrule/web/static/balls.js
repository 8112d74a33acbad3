// A table of ball flights: the file that is opened lands in the field, where it can be read before it is sent. A table
// like one that was taken in before is read as it was then, unless something else is chosen.
const LARGEST = 2_000_000;

export function begin(part) {
  const table = part.querySelector("textarea");
  const name = part.querySelector("input[type=hidden]");
  const words = part.querySelector("[data-fault=table]");
  const read = async (file) => {
    if (!file) return;
    words.textContent = "";
    if (file.size > LARGEST) {
      const size = (file.size / 1e6).toFixed(0);
      words.textContent = `Expected a table of one lesson (at most 2 MB), got ${size} MB. Nothing was taken.`;
      return;
    }
    table.value = await file.text();
    name.value = file.name;
    table.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const form = part.closest("form");
  const known = form.querySelector("[data-known]");
  const recognise = async () => {
    let layout = null;
    try {
      const answer = await fetch("/api/v1/ball-data/known", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ table: table.value }),
      });
      if (answer.ok) layout = await answer.json();
    } catch {}
    known.textContent = layout ? "A table like this was taken in before: it is read as it was then. Change what is different now." : "";
    for (const [name, value] of Object.entries(layout?.said ?? {})) {
      const choices = [...form.elements].filter((each) => each.name === name);
      if (choices.some((each) => each.dataset.typed)) continue;
      for (const each of choices) each.checked = each.value === value;
    }
  };
  let later = 0;
  table.addEventListener("input", () => {
    clearTimeout(later);
    later = setTimeout(() => table.value.trim() && recognise(), 400);
  });
  if (table.value.trim()) recognise();
  part.querySelector("input[type=file]").addEventListener("change", (event) => {
    event.stopPropagation();
    read(event.target.files[0]);
  });
  part.addEventListener("drop", (event) => {
    event.preventDefault();
    event.stopPropagation();
    read(event.dataTransfer.files[0]);
  });
}
