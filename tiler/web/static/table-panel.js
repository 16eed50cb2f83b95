// The forms for what is chosen.

import { ask, place } from "/static/shell.js";

/** Keep `#panel` with the choice; Enter leads into it. */
export function panelFollows(choice, address) {
  let asking = null;
  let wanted = false;
  let soon = 0;
  // Another page has sent its user here to fill something in: ?panel=pattern.
  let first = new URLSearchParams(location.search).get("panel");

  const load = async () => {
    clearTimeout(soon);
    asking?.abort();
    asking = new AbortController();
    try {
      const asked = query(choice);
      if (first) asked.set("show", first);
      const answer = await ask(`${address}?${asked}`, { signal: asking.signal });
      place(await answer.text(), answer.ok);
    } catch (fault) {
      if (fault.name !== "AbortError") throw fault;
      return;
    }
    if (wanted) enter();
  };

  const enter = () => {
    wanted = false;
    const fields = ":is(input, select, textarea):not([type=hidden], :disabled)";
    const field = document.querySelector(`#panel form ${fields}`) || document.querySelector("#panel :is(button, a[href])");
    field?.focus();
    field?.scrollIntoView({ block: "nearest" });
  };

  // Who walks round the piece with the arrows does not wait for a panel at every edge.
  choice.addEventListener("chosen", () => {
    first = "";
    wanted = false;
    clearTimeout(soon);
    soon = setTimeout(load, 90);
  });
  choice.addEventListener("opened", () => {
    wanted = true;
    load();
  });
  return load;
}

function query(choice) {
  const asked = new URLSearchParams();
  const edge = choice.name.startsWith("edge:") ? choice.name.slice(5) : choice.button?.dataset.edge;
  if (edge) asked.set("edge", edge);
  const [kind, number] = choice.name.split(":");
  if (kind && kind !== "edge") asked.set(kind, number);
  return asked;
}
