/** The host's own error class, as far as the functions use it. */
export class HostError {
  constructor(
    readonly code: string,
    readonly message?: string,
  ) {}
}

/** Puts the host's global in place, as the runtime does before it loads the functions. */
export function installCustomFunctions(): void {
  Object.assign(globalThis, {
    CustomFunctions: {
      Error: HostError,
      ErrorCode: { invalidValue: "#VALUE!", notAvailable: "#N/A" },
      associate: () => undefined,
    },
  });
}
