// A table of ball flights: the file that is opened lands in the field, where it can be read before it is sent.
const LARGEST = 2_000_000;

export function begin(part) {
  const open = part.querySelector("input[type=file]");
  const table = part.querySelector("textarea");
  const name = part.querySelector("input[type=hidden]");
  const words = part.querySelector("[data-fault=table]");
  open.addEventListener("change", async () => {
    const file = open.files[0];
    if (!file) return;
    words.textContent = "";
    if (file.size > LARGEST) {
      words.textContent = `Expected a table of one lesson (at most 2 MB), got ${(file.size / 1e6).toFixed(0)} MB. Nothing was taken.`;
      return;
    }
    table.value = await file.text();
    name.value = file.name;
    table.dispatchEvent(new Event("input", { bubbles: true }));
  });
}
