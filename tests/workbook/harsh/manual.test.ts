import { readsWhatIsCalculated } from "./reads-what-is-calculated";

readsWhatIsCalculated({ manualCalculation: true });
