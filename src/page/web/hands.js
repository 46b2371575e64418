// Pointer, wheel and keys on the stage.

const TURN = 0.0075;  // radians a pixel
const STEP = 0.25;    // metres a key

/** Drag turns; with two fingers, the right button or Shift it pushes; wheel and pinch zoom; a click picks. */
export function takePointer(stage, onClick) {
  const { canvas, rig } = stage;
  const down = new Map();
  let moved = 0;
  const gap = () => {
    const [a, b] = [...down.values()];
    return Math.hypot(a.x - b.x, a.y - b.y);
  };
  canvas.addEventListener('pointerdown', (event) => {
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, { x: event.offsetX, y: event.offsetY });
    if (down.size === 1) moved = 0;
  });
  canvas.addEventListener('pointermove', (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const dx = event.offsetX - last.x;
    const dy = event.offsetY - last.y;
    const before = down.size === 2 ? gap() : 0;
    down.set(event.pointerId, { x: event.offsetX, y: event.offsetY });
    moved += Math.abs(dx) + Math.abs(dy);
    const metres = 1.2 * rig.distance / stage.size.y;
    if (down.size === 2) {
      rig.zoom(before / Math.max(1, gap()));
      rig.step(dy * metres / 2, -dx * metres / 2);
    } else if (event.shiftKey || event.buttons & 2) rig.step(dy * metres, -dx * metres);
    else rig.turn(dx * TURN, dy * TURN);
    stage.draw();
  });
  const up = (event) => {
    if (!down.delete(event.pointerId)) return;
    if (event.type === 'pointerup' && moved < 5 && down.size === 0) onClick(event.offsetX, event.offsetY);
  };
  canvas.addEventListener('pointerup', up);
  canvas.addEventListener('pointercancel', up);
  canvas.addEventListener('contextmenu', (event) => event.preventDefault());
  canvas.addEventListener('wheel', (event) => {
    // The page scrolls until the stage has been clicked or tabbed into.
    if (document.activeElement !== canvas && !event.ctrlKey) return;
    event.preventDefault();
    rig.zoom(Math.exp(event.deltaY * 0.0012));
    stage.draw();
  }, { passive: false });
}

/** @param actions letters -> function, beside those that move the view. */
export function takeKeys(stage, actions) {
  const { canvas, rig } = stage;
  const moves = {
    ArrowLeft: (e) => (e.shiftKey ? rig.step(0, STEP) : rig.turn(rig.walking ? -0.1 : 0.1, 0)),
    ArrowRight: (e) => (e.shiftKey ? rig.step(0, -STEP) : rig.turn(rig.walking ? 0.1 : -0.1, 0)),
    ArrowUp: (e) => (e.shiftKey ? rig.step(-STEP, 0) : rig.walking ? rig.step(STEP, 0) : rig.turn(0, 0.08)),
    ArrowDown: (e) => (e.shiftKey ? rig.step(STEP, 0) : rig.walking ? rig.step(-STEP, 0) : rig.turn(0, -0.08)),
    w: () => rig.step(STEP, 0), s: () => rig.step(-STEP, 0),
    a: () => rig.step(0, -STEP), d: () => rig.step(0, STEP),
    PageUp: () => rig.turn(0, rig.walking ? -0.08 : 0.08), PageDown: () => rig.turn(0, rig.walking ? 0.08 : -0.08),
    '+': () => rig.zoom(0.85), '=': () => rig.zoom(0.85), '-': () => rig.zoom(1 / 0.85),
    Home: () => rig.home(),
  };
  canvas.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const act = moves[key] ?? actions[key];
    if (!act) return;
    event.preventDefault();
    act(event);
    stage.draw();
  });
}
