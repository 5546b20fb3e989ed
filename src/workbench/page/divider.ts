const NARROWEST = 240;
const STEP = 20;

/** Lets the pane be made wider or narrower, by pointer or by arrow keys. */
export function makeDivider(divider: HTMLElement, pane: HTMLElement, width: number): void {
  const set = (wished: number) => {
    const widest = Math.max(NARROWEST, document.body.clientWidth - NARROWEST);
    const next = Math.round(Math.min(Math.max(wished, NARROWEST), widest));
    pane.style.width = `${next}px`;
    divider.setAttribute("aria-valuenow", String(next));
    divider.setAttribute("aria-valuemin", String(NARROWEST));
    divider.setAttribute("aria-valuemax", String(widest));
    // The spreadsheet measures itself when the window changes size.
    window.dispatchEvent(new Event("resize"));
  };
  const present = () => pane.getBoundingClientRect().width;
  set(width);
  divider.addEventListener("pointerdown", (down) => {
    down.preventDefault();
    const right = present() + down.clientX;
    const move = (event: PointerEvent) => set(right - event.clientX);
    // A frame under the pointer would take its movements.
    pane.style.pointerEvents = "none";
    divider.setPointerCapture(down.pointerId);
    divider.addEventListener("pointermove", move);
    const stop = () => {
      pane.style.pointerEvents = "";
      divider.removeEventListener("pointermove", move);
    };
    divider.addEventListener("lostpointercapture", stop, { once: true });
  });
  divider.addEventListener("keydown", (event) => {
    if (event.key === "ArrowLeft") set(present() + STEP);
    if (event.key === "ArrowRight") set(present() - STEP);
  });
}
