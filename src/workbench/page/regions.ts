/** F6 goes from the sheet to the pane, on to the buttons above and back to the sheet, as it goes round in the host. */
export function goRoundWithF6(pane: HTMLIFrameElement, firstButton: HTMLElement): void {
  const toSheet = () => document.querySelector<HTMLElement>(".o-grid .o-composer")?.focus();
  const toPane = () => {
    pane.focus();
    pane.contentWindow?.focus();
  };
  const onF6 = (go: () => void) => (event: KeyboardEvent) => {
    if (event.key !== "F6") return;
    event.preventDefault();
    event.stopPropagation();
    go();
  };
  const fromPage = () => (document.activeElement?.closest(".wb-bar") ? toSheet() : toPane());
  window.addEventListener("keydown", onF6(fromPage), { capture: true });
  const fromPane = onF6(() => firstButton.focus());
  pane.addEventListener("load", () =>
    pane.contentWindow?.addEventListener("keydown", fromPane, { capture: true }),
  );
}
