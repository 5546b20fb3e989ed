/** The look of the host's controls in the green of the icon, light or dark as the host is. */
import type { BrandVariants } from "@fluentui/tokens";
import { createDarkTheme, createLightTheme } from "@fluentui/tokens";
import { setTheme } from "@fluentui/web-components/theme/set-theme.js";

const grass: BrandVariants = {
  10: "#02150a",
  20: "#072512",
  30: "#0b331a",
  40: "#0e4021",
  50: "#124d28",
  60: "#155a2f",
  70: "#196836",
  80: "#1c753d",
  90: "#2b9348",
  100: "#45a35d",
  110: "#5eb373",
  120: "#78c38a",
  130: "#93d2a1",
  140: "#aee0b9",
  150: "#c9edd1",
  160: "#e4f8e9",
};

const light = createLightTheme(grass);
const dark = createDarkTheme(grass);

/** Follows the host's theme where it tells one, otherwise the system's. */
export function followTheme(hostIsDark: boolean | undefined): void {
  const system = matchMedia("(prefers-color-scheme: dark)");
  const apply = () => {
    const isDark = hostIsDark ?? system.matches;
    setTheme(isDark ? dark : light);
    document.documentElement.style.colorScheme = isDark ? "dark" : "light";
  };
  apply();
  system.addEventListener("change", apply);
}
