import { readsWhatIsCalculated } from "./reads-what-is-calculated";

readsWhatIsCalculated({ answers: "old" });
