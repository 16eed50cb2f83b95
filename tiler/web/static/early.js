// What is pressed before the page's own scripts are there waits for them (shell.js sends it).

window.early = { pressed: null };

for (const kind of ["submit", "click"]) {
  document.addEventListener(kind, (event) => {
    if (!window.early) return;
    const by = event.target.closest(kind === "submit" ? "form[data-parts]" : "a[data-parts]");
    if (!by) return;
    event.preventDefault();
    window.early.pressed = { by, with: event.submitter };
  });
}
