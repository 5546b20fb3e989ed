/** The host's own controls, and only those that the pane uses. */
import "@fluentui/web-components/button.js";
import "@fluentui/web-components/checkbox.js";
import "@fluentui/web-components/field.js";
import "@fluentui/web-components/message-bar.js";
import "@fluentui/web-components/progress-bar.js";
import "@fluentui/web-components/radio.js";
import "@fluentui/web-components/radio-group.js";
import "@fluentui/web-components/tab.js";
import "@fluentui/web-components/tablist.js";
import "@fluentui/web-components/text-input.js";
