// The table: one piece to look at, to measure and to change.

import { Choice } from "./table-choose.js";
import { Checks } from "./table-checks.js";
import { drawOver, Ruler } from "./table-measure.js";
import { hands } from "./table-hands.js";
import { layTags, makeTags } from "./table-tags.js";
import { markChanged, measured, refresh, rememberLengths } from "./table-changes.js";
import { nearestThing, thingsIn } from "./table-lines.js";
import { panelFollows } from "./table-panel.js";
import { showStyle, styleOf } from "./table-styles.js";
import { View } from "./table-view.js";

const byId = (id) => document.getElementById(id);
const bench = byId("bench");
const stage = byId("stage");
const facts = bench.dataset;

const view = new View(stage, `${facts.key}/${facts.piece}`);
const choice = new Choice(stage);
const ruler = new Ruler(view, facts.units, byId("measure"));
const checks = new Checks(view, byId("pins"), facts.findingsAt);
const loadPanel = panelFollows(choice, facts.panelAt);
let things = new Map();
let tags = [];

function seen() {
  layTags(tags, view, choice.name);
  checks.lay();
  drawOver(byId("over"), view, facts.units, ruler);
}

/** Take in a picture that was drawn anew. */
function drawn() {
  showStyle(styleOf(facts.key), byId("picture"), byId("lengths"));
  things = thingsIn(byId("picture"));
  tags = makeTags(byId("picture"), byId("tags"));
  choice.shown();
  view.renewed();
  seen();
}

/** The row of pieces shows the one that is on the table. */
function showPiece() {
  const row = document.querySelector("#pieces ul");
  const own = row.querySelector("[aria-current]");
  if (own) row.scrollLeft = own.offsetLeft - row.offsetLeft - (row.clientWidth - own.offsetWidth) / 2;
}

view.addEventListener("seen", seen);

hands(
  view,
  (place, pixel, event) => {
    if (ruler.on) {
      ruler.put(place, things);
      byId("ruler-how").hidden = ruler.ends.length === 2;
      seen();
      return;
    }
    const box = stage.getBoundingClientRect();
    const on = document.elementFromPoint(box.left + pixel[0], box.top + pixel[1]);
    const pin = on?.closest(".pin");
    if (pin) {
      checks.goTo(pin.dataset.number, true);
      return;
    }
    const reach = (event.pointerType === "touch" ? 26 : 16) * view.scale;
    choice.choose(on?.closest(".tag")?.dataset.thing || nearestThing(things, place, reach), true);
  },
  (place) => {
    const name = place && !ruler.on ? nearestThing(things, place, 16 * view.scale) : "";
    stage.classList.toggle("over-thing", Boolean(name));
    choice.hover(name);
  },
);

choice.addEventListener("chosen", () => {
  byId("to-chosen").disabled = !choice.name;
  seen();
});

byId("nearer").addEventListener("click", () => view.nearer());
byId("farther").addEventListener("click", () => view.farther());
byId("whole").addEventListener("click", () => view.whole(true));
byId("to-chosen").addEventListener("click", () => {
  const thing = things.get(choice.name);
  if (thing) view.to(thing.box);
});

function turnRuler(on) {
  ruler.turn(on);
  byId("ruler").setAttribute("aria-pressed", String(on));
  byId("ruler-how").hidden = !on;
  stage.classList.toggle("measuring", on);
  seen();
}
byId("ruler").addEventListener("click", () => turnRuler(!ruler.on));
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && ruler.on) turnRuler(false);
});

byId("style")?.addEventListener("change", (event) => {
  styleOf(facts.key, event.target.value);
  drawn();
});

document.addEventListener("parts", (event) => {
  const parts = event.detail;
  if (parts.includes("picture")) {
    drawn();
    measured();
    checks.load();
  }
  if (parts.includes("lengths")) {
    choice.shown();
    markChanged();
  }
  if (parts.includes("pieces")) showPiece();
  if (parts.includes("rings")) {
    view.renewed();
    checks.renewed();
  }
});

// Another window, or an editor, may have changed the pattern meanwhile.
async function lookAgain() {
  if (document.visibilityState === "visible" && (await refresh(facts.partsAt))) loadPanel();
}
addEventListener("focus", lookAgain);
document.addEventListener("visibilitychange", lookAgain);
document.addEventListener("look-again", lookAgain);

if (byId("style")?.value) styleOf(facts.key, byId("style").value);
drawn();
showPiece();
choice.inSight();
rememberLengths();
byId("to-chosen").disabled = !choice.name;
loadPanel();
// While the pattern does not hold together there is nothing to check.
if (!byId("undrafted").childElementCount) checks.load();
