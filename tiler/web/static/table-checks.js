// What the bench check finds: asked for after the picture is there, and shown at its place.

import { ask, place } from "/static/shell.js";
import { boxOf, points } from "./table-lines.js";

export class Checks {
  constructor(view, pins, address) {
    Object.assign(this, { view, pins, address, asking: null, made: [] });
    this.first = new URLSearchParams(location.search).get("finding");
    document.addEventListener("click", (event) => {
      const link = event.target.closest("[data-finding]");
      if (link) {
        event.preventDefault();
        this.goTo(link.dataset.finding, true);
      }
      const button = event.target.closest("[data-spot]");
      if (!button) return;
      event.preventDefault();
      this.goTo(button.dataset.spot);
    });
  }

  /** Ask anew; an answer that is on its way counts no more. */
  async load() {
    this.asking?.abort();
    this.asking = new AbortController();
    document.getElementById("findings").setAttribute("aria-busy", "true");
    try {
      const answer = await ask(this.address, { signal: this.asking.signal });
      place(await answer.text(), answer.ok);
    } catch (fault) {
      if (fault.name !== "AbortError") throw fault;
    }
  }

  /** Numbers at the places that were found. */
  renewed() {
    this.pins.replaceChildren();
    this.made = [];
    for (const group of document.querySelectorAll('#rings [data-layer^="spot:"]')) {
      const number = group.dataset.layer.slice(5);
      const finding = document.getElementById(`finding-${number}`);
      const grave = ["is-error", "is-warning"].find((word) => finding?.classList.contains(word));
      if (grave) group.classList.add(grave);
      for (const text of group.querySelectorAll("text")) {
        const place = text.getAttribute("transform").match(/([-\d.]+) ([-\d.]+)\)$/);
        const pin = document.createElement("span");
        pin.className = `pin ${finding ? finding.className.replace("finding", "").trim() : ""}`;
        pin.textContent = number;
        pin.dataset.number = number;
        this.pins.append(pin);
        this.made.push({ pin, place: [Number(place[1]), Number(place[2])] });
      }
    }
    this.lay();
    if (this.first) {
      this.goTo(this.first, true);
      this.first = null;
    }
  }

  /** Each at its place; several at one place stand side by side. */
  lay() {
    const taken = [];
    for (const { pin, place: at } of this.made) {
      let [x, y] = this.view.pixel(at);
      while (taken.some((other) => Math.hypot(other[0] - x, other[1] - y) < 20)) x += 21;
      taken.push([x, y]);
      pin.hidden = x < -20 || y < -20 || x > this.view.width + 20 || y > this.view.height + 20;
      pin.style.transform = `translate(${Math.round(x)}px, ${Math.round(y)}px) translate(-50%, -50%)`;
    }
  }

  goTo(number, withList = false) {
    const spots = [...document.querySelectorAll("#rings [data-layer]")].filter((g) => g.dataset.layer === `spot:${number}`);
    for (const old of document.querySelectorAll("#rings .chosen, #pins .chosen")) old.classList.remove("chosen");
    const all = this.made.filter(({ pin }) => pin.dataset.number === number).map((each) => each.place);
    for (const spot of spots) {
      spot.classList.add("chosen");
      all.push(...[...spot.querySelectorAll("path")].flatMap(points));
    }
    for (const { pin } of this.made) pin.classList.toggle("chosen", pin.dataset.number === number);
    if (all.length) this.view.to(boxOf(all));
    if (withList) this.toList(number);
    else document.getElementById("stage").scrollIntoView({ block: "nearest" });
  }

  /** To what is said of it. */
  toList(number) {
    const finding = document.getElementById(`finding-${number}`);
    if (!finding) return;
    finding.closest("details")?.setAttribute("open", "");
    finding.setAttribute("tabindex", "-1");
    finding.focus({ preventScroll: true });
    finding.scrollIntoView({ block: "nearest" });
  }
}
