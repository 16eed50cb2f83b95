// Fingers, mouse and keys on the picture.

const STEP = 60; // pixels that an arrow key moves
const SLACK = 5; // pixels that a press may slip

/** Let a view be moved by hand. `pressed(place, pixel, event)` is told of a press, `hovered` of a mouse above. */
export function hands(view, pressed, hovered) {
  const { stage } = view;
  const down = new Map();
  let slipped = false;
  let scrolled = -Infinity;

  const pixel = (event) => {
    const box = stage.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };

  stage.addEventListener("pointerdown", (event) => {
    if (event.button > 0) return;
    down.set(event.pointerId, pixel(event));
    if (down.size === 1) slipped = false;
    else slipped = true;
    stage.setPointerCapture(event.pointerId);
  });

  stage.addEventListener("pointermove", (event) => {
    const before = down.get(event.pointerId);
    const now = pixel(event);
    if (!before) {
      if (event.pointerType !== "touch") hovered(view.place(now), event);
      return;
    }
    if (down.size === 1) {
      if (!slipped && Math.hypot(now[0] - before[0], now[1] - before[1]) < SLACK) return;
      slipped = true;
      stage.classList.add("held");
      view.pan(now[0] - before[0], now[1] - before[1]);
    } else {
      const other = [...down].find(([id]) => id !== event.pointerId)[1];
      const spread = (p) => Math.max(20, Math.hypot(p[0] - other[0], p[1] - other[1]));
      const middle = (p) => [(p[0] + other[0]) / 2, (p[1] + other[1]) / 2];
      const [from, to] = [middle(before), middle(now)];
      view.pan(to[0] - from[0], to[1] - from[1]);
      view.zoom(spread(before) / spread(now), to);
    }
    down.set(event.pointerId, now);
  });

  const up = (event) => {
    const was = down.delete(event.pointerId);
    if (down.size === 0) stage.classList.remove("held");
    if (was && event.type === "pointerup" && !slipped && down.size === 0) {
      const now = pixel(event);
      pressed(view.place(now), now, event);
    }
  };
  stage.addEventListener("pointerup", up);
  stage.addEventListener("pointercancel", up);
  stage.addEventListener("pointerleave", (event) => hovered(null, event));

  // Who scrolls the page and comes by does not mean the picture.
  addEventListener("scroll", () => (scrolled = performance.now()), { passive: true });
  stage.addEventListener(
    "wheel",
    (event) => {
      if (!event.ctrlKey && performance.now() - scrolled < 300) return;
      event.preventDefault();
      const lines = event.deltaMode === 1 ? 18 : 1;
      const sharp = event.ctrlKey ? 0.01 : 0.0016;
      view.zoom(Math.exp(Math.max(-240, Math.min(240, event.deltaY * lines)) * sharp), pixel(event));
    },
    { passive: false },
  );

  const keys = {
    "+": () => view.nearer(),
    "=": () => view.nearer(),
    "-": () => view.farther(),
    "−": () => view.farther(),
    0: () => view.whole(true),
    ArrowLeft: () => view.pan(STEP, 0),
    ArrowRight: () => view.pan(-STEP, 0),
    ArrowUp: () => view.pan(0, STEP),
    ArrowDown: () => view.pan(0, -STEP),
  };
  stage.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !keys[event.key]) return;
    event.preventDefault();
    keys[event.key]();
  });
}
