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
}

/** The wire's host end: takes what `sendMessageToHost` was given and answers it. */
export class Bridge {
  readonly log: BatchRecord[] = [];
  private failing = 0;

  constructor(private readonly options: BridgeOptions) {}

  /** Makes the n-th batch from now on fail without executing; 0 clears it. */
  failAt(batch: number): void {
    this.failing = batch;
  }

  receive(text: string): void {
    const message = JSON.parse(text) as RequestMessage;
    if (message.type !== MessageType.Request) return;
    if (message.message.url !== "ProcessQuery") {
      const error = {
        code: "ApiNotFound",
        message: `${message.message.url} is not implemented by this host.`,
      };
      this.answer(message.id, 404, { error });
      return;
    }
    const { body } = message.message;
    const request = typeof body === "string" ? (JSON.parse(body) as BatchRequest) : body;
    const response = this.process(request);
    this.log.push({ request, response });
    this.answer(message.id, 200, response);
  }

  emit(messageType: number, targetId: string, args: unknown): void {
    const entry = { messageCategory: EventCategory, messageType, targetId, message: JSON.stringify(args) };
    this.options.send(
      JSON.stringify({ type: MessageType.Events, controlId: "", message: { entries: [entry] } }),
    );
  }

  private process(request: BatchRequest): BatchResponse {
    if (this.failing > 0 && --this.failing === 0) return interrupted();
    const execute = () => this.options.interpreter.execute(request);
    return this.options.around ? this.options.around(execute) : execute();
  }

  private answer(id: number | string, statusCode: number, body: unknown): void {
    const message = { statusCode, headers: {}, body: JSON.stringify(body) };
    this.options.send(JSON.stringify({ id, type: MessageType.Response, flags: 0, controlId: "", message }));
  }
}

const interrupted = (): BatchResponse => ({
  Error: {
    Code: "GeneralException",
    Message: "There was an internal error while processing the request.",
    Location: "",
    ActionIndex: 0,
    HttpStatusCode: 500,
  },
  Results: [],
  TraceIds: [],
});
