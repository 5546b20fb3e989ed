/** Office.js by name: its objects for those who speak to them, what the host is able to do, and a request of its own. */
export type Comment = Excel.Comment;
export type ConditionalCellValueRule = Excel.ConditionalCellValueRule;
export type ConditionalFormat = Excel.ConditionalFormat;
export type DataValidation = Excel.DataValidation;
export type DataValidationErrorAlert = Excel.DataValidationErrorAlert;
export type DataValidationRule = Excel.DataValidationRule;
export type NamedItem = Excel.NamedItem;
export type NamedItemCollection = Excel.NamedItemCollection;
export type Range = Excel.Range;
export type RequestContext = Excel.RequestContext;
export type Setting = Excel.Setting;
export type Shape = Excel.Shape;
export type ShapeCollection = Excel.ShapeCollection;
export type Worksheet = Excel.Worksheet;

export const officeReady = (): Promise<unknown> => Office.onReady();

/** Whether the host knows a requirement set. */
export const hostHas = (set: string, version: string): boolean =>
  Office.context.requirements.isSetSupported(set, version);

/** Speaks to the workbook anew: what another request had yet to send is not sent with it, and errors come as they are. */
export const speakAnew = <T>(work: (context: RequestContext) => Promise<T>): Promise<T> => Excel.run(work);

/** Whether the cell of a loaded range shows an error, whatever it reads like. */
export const isErrorAt = ({ valueTypes }: Range, row: number, column: number): boolean =>
  valueTypes[row]?.[column] === Excel.RangeValueType.error;
