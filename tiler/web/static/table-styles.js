// All styles nested in one another, or one of them alone.

const AND = " + ";

/** The style that is looked at in a pattern, kept from piece to piece; given one, it is kept. */
export function styleOf(key, chosen) {
  const name = `studio style ${key}`;
  if (chosen !== undefined) sessionStorage.setItem(name, chosen);
  return sessionStorage.getItem(name) || "";
}

/** Leave away what belongs to other styles only; a piece that has not the style shows all. */
export function showStyle(style, picture, lengths) {
  const choices = document.getElementById("style");
  const known = choices && [...choices.options].some((option) => option.value === style);
  const wanted = known ? style : "";
  if (choices) choices.value = wanted;
  const others = (key) => Boolean(wanted) && !key.split(AND).includes(wanted);
  for (const group of picture.querySelectorAll('[data-layer^="style:"]')) {
    group.classList.toggle("off", others(group.dataset.layer.slice(6)));
  }
  for (const row of lengths.querySelectorAll("[data-style]")) row.hidden = others(row.dataset.style);
  // The head of a group of rows stands in the first one that is shown.
  for (const body of lengths.querySelectorAll("tbody")) {
    const head = body.querySelector("th");
    const shown = [...body.querySelectorAll("tr:not(.on)")].filter((row) => !row.hidden);
    if (head && shown.length) {
      head.rowSpan = shown.length;
      // What is moved loses the focus: only where it must be.
      if (head.parentElement !== shown[0]) shown[0].prepend(head);
    }
  }
}
