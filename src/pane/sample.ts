/** Loaded by the workbench's page of the pane alone: opens the sample bid where the address asks for it. */
import { openSampleBid } from "../workbook/bid";

if (new URLSearchParams(location.search).has("sample")) void openSampleBid();
