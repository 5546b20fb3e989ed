import { HostError } from "./host-error";
import type { Interpreter } from "./interpreter";
import { EventCategory, MessageType } from "./wire";
import type { BatchRequest, BatchResponse, RequestMessage } from "./wire";

export interface BatchRecord {
  request: BatchRequest;
  response: BatchResponse;
}

export interface BridgeOptions {
  interpreter: Interpreter;
  /** Carries one message to the library's `onMessageFromHost`. */
  send: (text: string) => void;
  /** Wraps the execution of a batch, so that a host can make it one undo step. */
  around?: (execute: () => BatchResponse) => BatchResponse;
  /** Why the host takes no request at present. */
  refusal?: () => HostError | undefined;
  /** The largest request or answer that is passed on, in bytes. */
  largestPayload?: () => number;
}

/** What happens beside an add-in while its batches come; batches and their operations count from 1. */
export interface Disturbance {
  /** What another person does before a batch is executed. */
  readonly between?: (batch: number) => void;
  /** Whether the host fails at an operation, those before it done. */
  readonly failsAt?: (batch: number, operation: number) => boolean;
}

/** The largest messages so far, in bytes of their text. */
export interface Traffic {
  request: number;
  response: number;
}

/** The largest request and the largest answer that the host passes on. */
export const LARGEST_PAYLOAD = 5 * 1024 * 1024;

/** An answer, and its text. */
interface Answered {
  readonly response: BatchResponse;
  readonly told: string;
}

const answeredWith = (response: BatchResponse): Answered => ({ response, told: JSON.stringify(response) });

const bytesOf = (text: string): number => new TextEncoder().encode(text).length;

/** The wire's host end: takes what `sendMessageToHost` was given and answers it. */
export class Bridge {
  readonly log: BatchRecord[] = [];
  readonly traffic: Traffic = { request: 0, response: 0 };
  private failing = 0;
  private disturbance: Disturbance = {};
  private batches = 0;

  constructor(private readonly options: BridgeOptions) {}

  /** Makes the n-th batch from now on fail without executing; 0 clears it. */
  failAt(batch: number): void {
    this.failing = batch;
  }

  /** Disturbs the batches from now on. */
  disturb(disturbance: Disturbance): void {
    this.disturbance = disturbance;
    this.batches = 0;
  }

  receive(text: string): void {
    const message = JSON.parse(text) as RequestMessage;
    if (message.type !== MessageType.Request) return;
    if (message.message.url !== "ProcessQuery") {
      const error = {
        code: "ApiNotFound",
        message: `${message.message.url} is not implemented by this host.`,
      };
      this.answer(message.id, 404, JSON.stringify({ error }));
      return;
    }
    const { body } = message.message;
    const request = typeof body === "string" ? (JSON.parse(body) as BatchRequest) : body;
    const { response, told } = this.sized(bytesOf(text), () => this.process(request));
    this.log.push({ request, response });
    this.answer(message.id, 200, told);
  }

  /** The answer, or a refusal where it or what asks for it is too large. What was done by then stays done. */
  private sized(asked: number, process: () => BatchResponse): Answered {
    const { traffic } = this;
    traffic.request = Math.max(traffic.request, asked);
    const largest = this.options.largestPayload?.() ?? Infinity;
    if (asked > largest) return answeredWith(refused(payloadTooLarge("Request")));
    const given = answeredWith(process());
    const answered = bytesOf(given.told);
    traffic.response = Math.max(traffic.response, answered);
    return answered > largest ? answeredWith(refused(payloadTooLarge("Response"))) : given;
  }

  emit(messageType: number, targetId: string, args: unknown): void {
    const entry = { messageCategory: EventCategory, messageType, targetId, message: JSON.stringify(args) };
    this.options.send(
      JSON.stringify({ type: MessageType.Events, controlId: "", message: { entries: [entry] } }),
    );
  }

  private process(request: BatchRequest): BatchResponse {
    if (this.failing > 0 && --this.failing === 0) return refused(interrupted);
    const refusal = this.options.refusal?.();
    if (refusal) return refused(refusal);
    const batch = ++this.batches;
    const { between, failsAt } = this.disturbance;
    between?.(batch);
    const fail = (operation: number): void => {
      if (failsAt?.(batch, operation) === true) throw interrupted;
    };
    const execute = () => this.options.interpreter.execute(request, fail);
    return this.options.around ? this.options.around(execute) : execute();
  }

  private answer(id: number | string, statusCode: number, body: string): void {
    const message = { statusCode, headers: {}, body };
    this.options.send(JSON.stringify({ id, type: MessageType.Response, flags: 0, controlId: "", message }));
  }
}

const refused = ({ code, message, status }: HostError): BatchResponse => ({
  Error: { Code: code, Message: message, Location: "", ActionIndex: 0, HttpStatusCode: status },
  Results: [],
  TraceIds: [],
});

const interrupted = new HostError(
  "GeneralException",
  "There was an internal error while processing the request.",
  500,
);

const payloadTooLarge = (which: "Request" | "Response") =>
  new HostError(`${which}PayloadSizeLimitExceeded`, `The ${which.toLowerCase()} payload is too large.`, 413);
