/** Event numbers of the library's worksheet events. */
export const EventType = {
  Changed: 10,
  Activated: 11,
  Deactivated: 12,
  Added: 13,
  SelectionChanged: 14,
  Deleted: 15,
  Calculated: 16,
  NameChanged: 25,
  VisibilityChanged: 26,
  Moved: 27,
} as const;

export type EventNumber = (typeof EventType)[keyof typeof EventType];

/** The target of events that a collection listens to for all its sheets. */
export const WHOLE_WORKBOOK = "Workbook";

/** Counts who listens, so that nothing crosses to the library unasked. */
export class Listeners {
  private readonly counts = new Map<string, number>();

  add(type: EventNumber, target: string): void {
    this.change(type, target, 1);
  }

  remove(type: EventNumber, target: string): void {
    this.change(type, target, -1);
  }

  listens(type: EventNumber, target: string): boolean {
    return (this.counts.get(`${type} ${target}`) ?? 0) > 0;
  }

  private change(type: EventNumber, target: string, by: number): void {
    const key = `${type} ${target}`;
    this.counts.set(key, Math.max(0, (this.counts.get(key) ?? 0) + by));
  }
}

/** The registration members that worksheets and their collection share. */
export abstract class EventSource {
  protected abstract readonly listeners: Listeners;
  protected abstract readonly eventTarget: string;

  private on(type: EventNumber): void {
    this.listeners.add(type, this.eventTarget);
  }

  private off(type: EventNumber): void {
    this.listeners.remove(type, this.eventTarget);
  }

  _RegisterDataChangedEvent(): void {
    this.on(EventType.Changed);
  }

  _UnregisterDataChangedEvent(): void {
    this.off(EventType.Changed);
  }

  _RegisterSelectionChangedEvent(): void {
    this.on(EventType.SelectionChanged);
  }

  _UnregisterSelectionChangedEvent(): void {
    this.off(EventType.SelectionChanged);
  }

  _RegisterActivatedEvent(): void {
    this.on(EventType.Activated);
  }

  _UnregisterActivatedEvent(): void {
    this.off(EventType.Activated);
  }

  _RegisterDeactivatedEvent(): void {
    this.on(EventType.Deactivated);
  }

  _UnregisterDeactivatedEvent(): void {
    this.off(EventType.Deactivated);
  }

  _RegisterAddedEvent(): void {
    this.on(EventType.Added);
  }

  _UnregisterAddedEvent(): void {
    this.off(EventType.Added);
  }

  _RegisterDeletedEvent(): void {
    this.on(EventType.Deleted);
  }

  _UnregisterDeletedEvent(): void {
    this.off(EventType.Deleted);
  }

  _RegisterCalculatedEvent(): void {
    this.on(EventType.Calculated);
  }

  _UnregisterCalculatedEvent(): void {
    this.off(EventType.Calculated);
  }

  _RegisterEventNameChanged(): void {
    this.on(EventType.NameChanged);
  }

  _UnregisterEventNameChanged(): void {
    this.off(EventType.NameChanged);
  }

  _RegisterEventVisibilityChanged(): void {
    this.on(EventType.VisibilityChanged);
  }

  _UnregisterEventVisibilityChanged(): void {
    this.off(EventType.VisibilityChanged);
  }

  _RegisterEventMoved(): void {
    this.on(EventType.Moved);
  }

  _UnregisterEventMoved(): void {
    this.off(EventType.Moved);
  }
}
