// Files are dropped anywhere on the field, or chosen; both are listed, and sent together.

import { askParts, say } from "./shell.js";

const drop = document.querySelector("form.drop");
if (drop) {
  const field = drop.querySelector('input[type="file"]');
  const list = document.getElementById("chosen");
  let files = [];

  const put = (found) => {
    for (const file of found) {
      files = files.filter((each) => each.name !== file.name || each.size !== file.size);
      files.push(file);
    }
    show();
  };

  const show = () => {
    const all = new DataTransfer();
    for (const file of files) all.items.add(file);
    field.files = all.files;
    list.replaceChildren(...files.map(row));
    list.hidden = !files.length;
    const bytes = files.reduce((sum, file) => sum + file.size, 0);
    const much = bytes > Number(drop.dataset.most);
    field.setCustomValidity(much ? drop.dataset.tooMuch : "");
    if (much) field.reportValidity();
    say(files.map((file) => file.name).join(", "));
  };

  const row = (file) => {
    const item = document.createElement("li");
    const name = Object.assign(document.createElement("span"), { className: "name", textContent: file.name });
    const size = Object.assign(document.createElement("span"), { className: "size", textContent: sizeOf(file.size) });
    const remove = Object.assign(document.createElement("button"), { type: "button", className: "quiet", textContent: drop.dataset.remove });
    const words = Object.assign(document.createElement("span"), { className: "unseen", textContent: ` ${file.name}` });
    remove.append(words);
    remove.addEventListener("click", () => {
      files = files.filter((each) => each !== file);
      show();
      field.focus();
    });
    item.append(name, size, remove);
    return item;
  };

  field.addEventListener("change", () => put([...field.files]));
  if (field.files.length) put([...field.files]);
  // The drop is meant for the field also when it misses it by a little.
  let over = 0;
  document.addEventListener("dragenter", (event) => {
    if (!holdsFiles(event)) return;
    over += 1;
    drop.classList.add("over");
  });
  document.addEventListener("dragleave", () => {
    over = Math.max(0, over - 1);
    if (!over) drop.classList.remove("over");
  });
  document.addEventListener("dragover", (event) => {
    if (holdsFiles(event)) event.preventDefault();
  });
  document.addEventListener("drop", async (event) => {
    if (!holdsFiles(event)) return;
    event.preventDefault();
    over = 0;
    drop.classList.remove("over");
    put(await dropped(event.dataTransfer));
    drop.querySelector(".next").focus();
  });
}

function holdsFiles(event) {
  return Boolean(event.dataTransfer) && [...event.dataTransfer.types].includes("Files");
}

function sizeOf(bytes) {
  return bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

/** The files that were dropped; a folder gives those that lie in it. */
async function dropped(data) {
  const entries = [...data.items].map((item) => item.webkitGetAsEntry && item.webkitGetAsEntry());
  const plain = [...data.files];
  const found = [];
  for (const [number, entry] of entries.entries()) {
    if (entry && entry.isDirectory) found.push(...(await inside(entry)));
    else if (plain[number]) found.push(plain[number]);
  }
  return found;
}

async function inside(folder) {
  const reader = folder.createReader();
  const found = [];
  for (;;) {
    const some = await new Promise((good, bad) => reader.readEntries(good, bad));
    if (!some.length) break;
    for (const entry of some) {
      if (entry.isFile && /\.(svg|csv|dxf)$/i.test(entry.name) && !entry.name.startsWith("."))
        found.push(await new Promise((good, bad) => entry.file(good, bad)));
    }
  }
  return found;
}

// A pair is two pieces: the number follows what is chosen, until one writes another.
document.addEventListener("change", (event) => {
  const choice = event.target;
  if (!choice.matches('.piece input[type="radio"]')) return;
  const count = choice.closest(".piece").querySelector('input[type="number"]');
  if (choice.value === "pair" && count.value === "1") count.value = "2";
  else if (choice.value === "fold" && count.value === "2") count.value = "1";
});

// When photos could not be used, pictures show why; letters on them are asked for in a field.
document.addEventListener("parts", ({ detail }) => {
  const asked = detail.includes("problem") && document.querySelector('#problem img[src*="-faces"]');
  if (asked) document.querySelector(".areas").open = true;
  const reading = document.getElementById("reading");
  if (!reading || !reading.dataset.problem || !detail.some((id) => id.startsWith("work-"))) return;
  if (reading.querySelector(".trouble")) askParts(reading.dataset.problem);
});
