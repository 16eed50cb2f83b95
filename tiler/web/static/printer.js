// The plan of the pages: choose a piece, see its pages, move it by mouse, finger or keys.
import { askParts, say } from "/static/shell.js";

/** Millimetres of the paper for one of the picture (tiler/sheets/planpicture.py). */
const SCALE = 5;
const plan = () => document.getElementById("plan");
const units = () => [...document.querySelectorAll('.plan-picture [data-layer^="unit:"]')];
const layer = (name) => document.querySelector(`.plan-picture [data-layer="${CSS.escape(name)}"]`);
let chosen = "";

// ---- what is chosen

function row(piece) {
  return [...document.querySelectorAll(".places li")].find((each) => each.dataset.piece === piece);
}

function choose(piece, loud = true) {
  chosen = piece;
  for (const each of document.querySelectorAll(".places li")) {
    each.querySelector(".pick").setAttribute("aria-pressed", String(each.dataset.piece === piece));
  }
  for (const each of document.querySelectorAll(".plan-picture .lit")) each.classList.remove("lit");
  const found = row(piece);
  if (!found) return;
  for (const name of found.dataset.cells.split(" ")) layer(`page:${name}`)?.classList.add("lit");
  layer(`piece:${piece}`)?.classList.add("lit");
  if (loud) say(`${plan().dataset.chosen || "[name]"}`.replace("[name]", piece) + ` ${found.querySelector(".on").textContent}`);
}

function pieceOf(unit) {
  const inside = unit.querySelector('[data-layer^="piece:"]');
  return (inside || unit).dataset.layer.replace(/^(piece|unit):/, "");
}

// ---- moving: what was asked meanwhile waits for the answer

let waiting = null;
let under = false;
let timer = 0;

function unitOf(piece) {
  return units().find((unit) => unit.querySelector(`[data-layer="${CSS.escape(`piece:${piece}`)}"]`));
}

function preview() {
  if (!waiting) return;
  const unit = unitOf(waiting.piece);
  if (!unit) return;
  const box = unit.getBBox();
  const x = box.x + box.width / 2;
  const y = box.y + box.height / 2;
  unit.setAttribute(
    "transform",
    `translate(${waiting.dx / SCALE} ${-waiting.dy / SCALE}) rotate(${-waiting.turn} ${x} ${y})`,
  );
}

function nudge(piece, dx, dy, turn, soon = 220) {
  if (!piece || !plan().dataset.move) return;
  if (waiting && waiting.piece !== piece) flush();
  waiting ||= { piece, dx: 0, dy: 0, turn: 0 };
  waiting.dx += dx;
  waiting.dy += dy;
  waiting.turn += turn;
  preview();
  clearTimeout(timer);
  timer = setTimeout(flush, soon);
}

async function flush() {
  if (under || !waiting) return;
  const { piece, dx, dy, turn } = waiting;
  waiting = null;
  under = true;
  const data = new FormData();
  for (const [key, value] of Object.entries({ plan: plan().dataset.plan, piece, dx, dy, turn })) {
    data.append(key, String(value));
  }
  const answer = await askParts(plan().dataset.move, { method: "POST", body: data });
  under = false;
  if (!answer || !answer.ok) unitOf(piece)?.removeAttribute("transform");
  preview();
  if (waiting) flush();
}

// ---- mouse and finger

let held = null;

function inPicture(event) {
  const svg = document.querySelector(".plan-picture > svg");
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

document.addEventListener("pointerdown", (event) => {
  const unit = event.target.closest && event.target.closest('.plan-picture [data-layer^="unit:"]');
  if (!unit || event.button !== 0) return;
  const inside = event.target.closest('[data-layer^="piece:"]') || unit;
  const piece = inside.dataset.layer.replace(/^(piece|unit):/, "");
  // A finger that scrolls the page must not take a piece along: the first touch only chooses it.
  const scrolls = event.pointerType === "touch" && piece !== chosen;
  choose(piece);
  if (scrolls || !plan().dataset.move || under || waiting) return;
  held = { unit, from: inPicture(event), dx: 0, dy: 0, id: event.pointerId };
  unit.setPointerCapture(event.pointerId);
  unit.classList.add("held");
  event.preventDefault();
});

document.addEventListener("pointermove", (event) => {
  if (!held || event.pointerId !== held.id) return;
  const at = inPicture(event);
  held.dx = at.x - held.from.x;
  held.dy = at.y - held.from.y;
  held.unit.setAttribute("transform", `translate(${held.dx} ${held.dy})`);
});

function letGo(event, keep) {
  if (!held || event.pointerId !== held.id) return;
  const { unit, dx, dy } = held;
  held = null;
  unit.classList.remove("held");
  if (keep && Math.hypot(dx, dy) > 0.6) nudge(pieceOf(unit), dx * SCALE, -dy * SCALE, 0, 0);
  else unit.removeAttribute("transform");
}
document.addEventListener("pointerup", (event) => letGo(event, true));
document.addEventListener("pointercancel", (event) => letGo(event, false));

// ---- keys and buttons

const keys = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

document.addEventListener("keydown", (event) => {
  const on = event.target.closest && event.target.closest(".pick");
  if (!on || on.getAttribute("aria-pressed") !== "true" || event.ctrlKey || event.metaKey || event.altKey) return;
  const step = event.shiftKey ? 10 : 1;
  const way = keys[event.key];
  if (way) nudge(chosen, way[0] * step, way[1] * step, 0);
  else if (event.key.toLowerCase() === "r") nudge(chosen, 0, 0, event.shiftKey ? 5 : 90);
  else return;
  if (plan().dataset.move) event.preventDefault();
});

document.addEventListener("click", (event) => {
  const pick = event.target.closest && event.target.closest(".pick");
  if (pick) choose(pick.closest("li").dataset.piece);
  const button = event.target.closest && event.target.closest("[data-nudge]");
  if (!button) return;
  const [x, y, turn] = button.dataset.nudge.split(" ").map(Number);
  const step = Number(document.getElementById("nudge-step").value);
  if (!chosen) choose(document.querySelector(".places li").dataset.piece);
  nudge(chosen, x * step, y * step, turn);
});

let step = "";
document.addEventListener("change", (event) => {
  if (event.target.id === "nudge-step") step = event.target.value;
});

document.addEventListener("parts", (event) => {
  if (!event.detail.includes("plan")) return;
  const field = document.getElementById("nudge-step");
  if (field && step) field.value = step;
  if (chosen) choose(chosen, false);
});

// ---- the first plan comes by itself

if (plan().hasAttribute("data-begin")) document.getElementById("order").requestSubmit();
