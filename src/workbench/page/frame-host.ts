interface FromFrame {
  toHost?: unknown;
}

/** The way between the page, which is the host, and Office.js in the pane's frame. */
export class FrameHost {
  constructor(
    private readonly frame: HTMLIFrameElement,
    receive: (text: string) => void,
  ) {
    window.addEventListener("message", (event) => {
      if (event.source !== frame.contentWindow || event.origin !== location.origin) return;
      const { toHost } = event.data as FromFrame;
      if (typeof toHost === "string") receive(toHost);
    });
  }

  send(text: string): void {
    this.post({ fromHost: text });
  }

  selectionChanged(): void {
    this.post({ selectionChanged: true });
  }

  private post(message: object): void {
    this.frame.contentWindow?.postMessage(message, location.origin);
  }
}
