// A table of ball flights: the file that is opened lands in the field, where it can be read before it is sent.
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
