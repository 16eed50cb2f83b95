// What part of the piece is seen. Places are millimetres of the drawing, y down.

const NEAREST = 0.02; // millimetres a pixel
const ROUND = 1.6; // how much farther than the whole piece one can go
const STEP = 1.35;
const calm = matchMedia("(prefers-reduced-motion: reduce)");

/** The window on a piece. Tells "seen" whenever something else is seen. */
export class View extends EventTarget {
  constructor(stage, name) {
    super();
    this.stage = stage;
    this.name = `studio view ${name}`;
    this.box = [0, 0, 100, 100];
    this.x = this.y = 0;
    this.scale = 1;
    this.own = false; // whether someone has chosen it; else the whole piece stays in view
    this.own = this.recall();
    this.renewed();
    this.measured();
    new ResizeObserver(() => this.measured()).observe(stage);
  }

  /** Take what was drawn anew; the view stays. */
  renewed() {
    for (const svg of this.stage.querySelectorAll(".layer > svg")) svg.dataset.box ||= svg.getAttribute("viewBox");
    const drawn = this.stage.querySelector("#picture > svg");
    if (drawn) this.box = drawn.dataset.box.split(" ").map(Number);
    if (this.width) this.own ? this.show() : this.whole();
  }

  measured() {
    const before = this.width;
    const middle = before ? this.middle : null;
    this.width = this.stage.clientWidth;
    this.height = this.stage.clientHeight;
    if (!this.width || !this.height) return;
    if (!this.own) this.whole();
    else this.centre(middle || this.kept, this.scale);
  }

  get middle() {
    return [this.x + (this.width * this.scale) / 2, this.y + (this.height * this.scale) / 2];
  }

  /** Millimetres a pixel at which a box fits. */
  fitting([, , wide, high], margin = 0) {
    const room = Math.min(margin, this.width / 5, this.height / 5);
    return Math.max(wide / (this.width - 2 * room), high / (this.height - 2 * room), NEAREST);
  }

  whole(slowly = false) {
    const scale = this.fitting(this.box, 76);
    const target = [this.box[0] + this.box[2] / 2, this.box[1] + this.box[3] / 2];
    this.own = false;
    slowly ? this.glide(target, scale) : this.centre(target, scale);
    this.remember();
  }

  /** Show a box, no nearer than so many millimetres a pixel. */
  to(box, nearest = 0.12) {
    this.own = true;
    this.glide([box[0] + box[2] / 2, box[1] + box[3] / 2], Math.max(this.fitting(box, 90), nearest));
  }

  centre([x, y], scale) {
    const farthest = this.fitting(this.box, 76) * ROUND;
    this.scale = Math.min(Math.max(scale, NEAREST), farthest);
    // Some of the piece always stays in sight.
    const [left, top, wide, high] = this.box;
    const inside = (at, low, length) => Math.min(Math.max(at, low), low + length);
    this.x = inside(x, left, wide) - (this.width * this.scale) / 2;
    this.y = inside(y, top, high) - (this.height * this.scale) / 2;
    this.show();
  }

  glide(target, scale) {
    cancelAnimationFrame(this.gliding);
    if (calm.matches) {
      this.centre(target, scale);
      this.remember();
      return;
    }
    const [from, start, began] = [this.middle, this.scale, performance.now()];
    const step = (now) => {
      const share = Math.min(1, (now - began) / 220);
      const eased = share * (2 - share);
      const between = (a, b) => a + (b - a) * eased;
      this.centre([between(from[0], target[0]), between(from[1], target[1])], start * (scale / start) ** eased);
      if (share < 1) this.gliding = requestAnimationFrame(step);
      else this.remember();
    };
    this.gliding = requestAnimationFrame(step);
  }

  /** Nearer (factor under 1) or farther, a place of the screen staying where it is. */
  zoom(factor, at = [this.width / 2, this.height / 2]) {
    cancelAnimationFrame(this.gliding);
    const [x, y] = this.place(at);
    const farthest = this.fitting(this.box, 76) * ROUND;
    const scale = Math.min(Math.max(this.scale * factor, NEAREST), farthest);
    this.own = true;
    this.centre([x + (this.width / 2 - at[0]) * scale, y + (this.height / 2 - at[1]) * scale], scale);
    this.remember();
  }

  nearer() {
    this.zoom(1 / STEP);
  }

  farther() {
    this.zoom(STEP);
  }

  /** Move by pixels. */
  pan(dx, dy) {
    cancelAnimationFrame(this.gliding);
    const [x, y] = this.middle;
    this.own = true;
    this.centre([x - dx * this.scale, y - dy * this.scale], this.scale);
    this.remember();
  }

  /** From pixels of the stage to a place, and back. */
  place([px, py]) {
    return [this.x + px * this.scale, this.y + py * this.scale];
  }

  pixel([x, y]) {
    return [(x - this.x) / this.scale, (y - this.y) / this.scale];
  }

  show() {
    const box = [this.x, this.y, this.width * this.scale, this.height * this.scale].map((v) => v.toFixed(3)).join(" ");
    for (const svg of this.stage.querySelectorAll(".layer > svg")) svg.setAttribute("viewBox", box);
    this.dispatchEvent(new Event("seen"));
  }

  remember() {
    const kept = this.own ? JSON.stringify([...this.middle, this.scale]) : "";
    sessionStorage.setItem(this.name, kept);
  }

  /** What was seen of this piece the last time, if that was chosen by hand. */
  recall() {
    const words = sessionStorage.getItem(this.name);
    if (!words) return false;
    const [x, y, scale] = JSON.parse(words);
    Object.assign(this, { kept: [x, y], scale });
    return true;
  }
}
