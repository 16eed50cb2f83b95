// Pictures for a projector: each of their dots on one dot of the screen, and black at a key.

const stage = document.getElementById("stage");
const pictures = [...stage.querySelectorAll("img")];
const which = document.getElementById("which");
const fit = document.getElementById("fit");
let shown = 0;

function show(number) {
  shown = Math.max(0, Math.min(pictures.length - 1, number));
  pictures.forEach((picture, index) => { picture.hidden = index !== shown; });
  if (which) which.textContent = `${shown + 1} / ${pictures.length}: ${pictures[shown].alt}`;
  size();
}

/** One dot of the picture is one dot of the screen, whatever the browser's zoom. */
function size() {
  const picture = pictures[shown];
  if (!picture.naturalWidth) return;
  const dots = window.devicePixelRatio || 1;
  picture.style.width = `${picture.naturalWidth / dots}px`;
  picture.style.height = `${picture.naturalHeight / dots}px`;
  const across = Math.round(screen.width * dots);
  const down = Math.round(screen.height * dots);
  const alike = across === picture.naturalWidth && down === picture.naturalHeight;
  const words = alike ? (dots === 1 ? stage.dataset.exact : stage.dataset.zoomed) : stage.dataset.unlike;
  fit.textContent = words
    .replaceAll("[picture]", `${picture.naturalWidth} × ${picture.naturalHeight}`)
    .replace("[screen]", `${across} × ${down}`);
  fit.classList.toggle("wrong", !alike || dots !== 1);
}

function black() {
  const on = stage.classList.toggle("black");
  document.getElementById("black").setAttribute("aria-pressed", String(on));
}

function full() {
  if (document.fullscreenElement) document.exitFullscreen();
  else stage.requestFullscreen?.();
}

for (const picture of pictures) picture.addEventListener("load", size);
window.addEventListener("resize", size);
document.addEventListener("fullscreenchange", () => {
  size();
  stage.focus();
});
document.getElementById("full").addEventListener("click", full);
document.getElementById("black").addEventListener("click", black);
document.getElementById("before")?.addEventListener("click", () => show(shown - 1));
document.getElementById("after")?.addEventListener("click", () => show(shown + 1));

const keys = {
  ArrowRight: () => show(shown + 1),
  PageDown: () => show(shown + 1),
  ArrowLeft: () => show(shown - 1),
  PageUp: () => show(shown - 1),
  Home: () => show(0),
  End: () => show(pictures.length - 1),
  b: black,
  B: black,
  f: full,
  F: full,
};
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || !keys[event.key]) return;
  event.preventDefault();
  keys[event.key]();
});
show(Number(location.hash.slice(1)) - 1 || 0);
