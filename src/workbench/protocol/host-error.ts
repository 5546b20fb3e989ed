/** An error the host reports to the library, which turns it into an `OfficeExtension.Error`. */
export class HostError extends Error {
  constructor(
    readonly code: string,
    message: string,
    readonly status = 400,
  ) {
    super(message);
    this.name = "HostError";
  }
}

export const itemNotFound = (what: string) =>
  new HostError("ItemNotFound", `The requested resource doesn't exist: ${what}.`, 404);

export const invalidArgument = (what: string) =>
  new HostError("InvalidArgument", `The argument is invalid or missing or has an incorrect format: ${what}`);

export const itemAlreadyExists = (what: string) =>
  new HostError(
    "ItemAlreadyExists",
    `A resource with the same name or identifier already exists: ${what}.`,
    409,
  );

export const accessDenied = (what: string) =>
  new HostError("AccessDenied", `You cannot perform the requested operation: ${what}.`, 403);

export const apiNotFound = (member: string) =>
  new HostError("ApiNotFound", `${member} is not implemented by this host.`, 404);
