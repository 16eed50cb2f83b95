// What is chosen: in the picture, in the list, in the address, always the same.

import { say } from "/static/shell.js";

/** Keeps one thing chosen. Tells "chosen" when that changes, and "opened" when one wants to change it. */
export class Choice extends EventTarget {
  constructor(stage) {
    super();
    this.stage = stage;
    this.hovered = "";
    const asked = new URLSearchParams(location.search);
    // On a slow computer one may have chosen before this script was there.
    const early = document.querySelector("#lengths input:checked")?.value;
    this.name = early || asked.get("thing") || (asked.get("edge") ? `edge:${asked.get("edge")}` : "");
    document.addEventListener("change", (event) => {
      if (event.target.matches("#lengths input")) this.choose(event.target.value);
    });
    document.addEventListener("click", (event) => {
      const link = event.target.closest("[data-choose]");
      if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
        event.preventDefault();
        this.choose(link.dataset.choose);
        this.button?.focus();
      } else if (event.target.closest("#lengths tr, #lengths label") && !event.target.closest("a, input, label")) {
        this.choose(event.target.closest("[data-thing]")?.dataset.thing || this.name);
      }
    });
    document.addEventListener("keydown", (event) => this.key(event));
    const list = (event) => this.hover(event.target.closest?.("#lengths [data-thing]")?.dataset.thing || "");
    document.addEventListener("mouseover", (event) => {
      if (event.target.closest?.("#lengths")) list(event);
    });
  }

  get button() {
    return [...document.querySelectorAll("#lengths input")].find((input) => input.value === this.name);
  }

  choose(name, aloud = false) {
    if (name === this.name) {
      if (name) this.dispatchEvent(new Event("again"));
      return;
    }
    this.name = name;
    const asked = new URLSearchParams();
    if (name.startsWith("edge:")) asked.set("edge", name.slice(5));
    else if (name) asked.set("thing", name);
    history.replaceState(null, "", name ? `?${asked}` : location.pathname);
    this.shown();
    this.inSight();
    if (aloud && this.button) say(this.button.getAttribute("aria-label") || this.button.parentElement.textContent.trim());
    this.dispatchEvent(new Event("chosen"));
  }

  hover(name) {
    if (name === this.hovered) return;
    this.hovered = name;
    this.marked("hovered", name);
  }

  /** Mark what is chosen, in what was drawn anew too. */
  shown() {
    if (this.name && !this.button) this.name = "";
    for (const input of document.querySelectorAll("#lengths input")) input.checked = input.value === this.name;
    this.marked("chosen", this.name);
    this.marked("hovered", this.hovered);
    this.summary();
  }

  marked(word, name) {
    for (const old of document.querySelectorAll(`#picture .${word}, #lengths .${word}`)) old.classList.remove(word);
    if (!name) return;
    const layers = [name, name.replace("edge:", "allowance:")];
    for (const group of this.stage.querySelectorAll("#picture [data-layer]")) {
      if (layers.includes(group.dataset.layer)) group.classList.add(word);
    }
    for (const row of document.querySelectorAll("#lengths [data-thing]")) {
      if (row.dataset.thing === name) row.classList.add(word);
    }
  }

  /** The list goes to what is chosen; the page stays. */
  inSight() {
    const list = document.getElementById("lengths");
    const row = this.button?.closest("[data-thing]");
    if (!row || list.scrollHeight <= list.clientHeight) return;
    const [box, own] = [list.getBoundingClientRect(), row.getBoundingClientRect()];
    if (own.top < box.top) list.scrollTop += own.top - box.top - 8;
    if (own.bottom > box.bottom) list.scrollTop += own.bottom - box.bottom + 8;
  }

  /** A line below the picture says what is chosen, and what it is sewn to. */
  summary() {
    const line = document.getElementById("chosen");
    const { button } = this;
    line.hidden = !button;
    if (!button) return;
    const words = document.createElement("strong");
    words.textContent = button.getAttribute("aria-label") || button.parentElement.textContent.trim();
    line.replaceChildren(words);
    const more = document.getElementById(button.getAttribute("aria-describedby"))?.firstElementChild;
    if (more?.textContent.trim()) line.append(" · ", ...[...more.childNodes].map((node) => node.cloneNode(true)));
  }

  key(event) {
    const inList = event.target.matches("#lengths input");
    if (event.key === "Enter" && inList) {
      event.preventDefault();
      this.dispatchEvent(new Event("opened"));
    } else if (event.key === "Escape" && event.target.closest("#panel")) {
      (this.button || this.stage).focus();
    } else if (event.key === "Escape" && (inList || event.target === this.stage)) {
      this.choose("");
    }
  }
}
