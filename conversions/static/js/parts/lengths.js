// Lengths as people say them, echoed in both systems below the field while they are typed.
// The server reads them again and has the last word; this knows the same ways of writing.

const INCH = 0.0254;
const FOOT = 0.3048;
const FRACTIONS = { "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8" };
const NUMBER = "(?:\\d+(?:[.,]\\d+)?|[.,]\\d+)";
const FEET = "(?:'|′|’|ft\\.?|foot|feet)";
const INCHES = "(?:\"|″|”|''|’’|in\\.?|inch(?:es)?)";
const MIXED = (n) => `(?<${n}>${NUMBER})?(?:\\s*(?<${n}t>\\d+)/(?<${n}b>\\d+))?`;
const FEET_INCHES = new RegExp(`^${MIXED("f")}\\s*${FEET}\\s*(?:${MIXED("i")}\\s*${INCHES}?)?$`, "i");
const ONLY_INCHES = new RegExp(`^${MIXED("i")}\\s*${INCHES}$`, "i");
const METRIC = new RegExp(`^(${NUMBER})\\s*(mm|cm|m|metres?|meters?)?$`, "i");
const METRES_CENTIMETRES = /^(\d+)\s*m\s*(\d{1,2})(?:\s*cm)?$/i;

const number = (text) => (/^[1-9]\d{0,2},\d{3}$/.test(text) ? NaN : Number(text.replace(",", ".")));
const mixed = (groups, n) => (groups[n] ? number(groups[n]) : 0) + (groups[`${n}t`] ? groups[`${n}t`] / groups[`${n}b`] : 0);

export function readLength(text, units) {
  let spoken = text.trim();
  for (const [sign, written] of Object.entries(FRACTIONS)) spoken = spoken.replaceAll(sign, written);
  spoken = spoken.replace(/\s+/g, " ").replace(/\s*\/\s*/g, "/").trim();
  let match = METRES_CENTIMETRES.exec(spoken);
  if (match) return Number(match[1]) + match[2] / 100;
  match = FEET_INCHES.exec(spoken);
  if (match && (match.groups.f || match.groups.ft)) return mixed(match.groups, "f") * FOOT + mixed(match.groups, "i") * INCH;
  match = ONLY_INCHES.exec(spoken);
  if (match && (match.groups.i || match.groups.it)) return mixed(match.groups, "i") * INCH;
  match = METRIC.exec(spoken);
  if (!match) return NaN;
  const unit = (match[2] || "").toLowerCase();
  if (!unit) return number(match[1]) * ({ imperial: FOOT, in: INCH, mm: 0.001 }[units] ?? 1);
  return number(match[1]) * (unit === "mm" ? 0.001 : unit === "cm" ? 0.01 : 1);
}

export function feetInches(metres) {
  const halves = Math.round((metres / INCH) * 2);
  const feet = Math.floor(halves / 24);
  const left = halves % 24;
  const inches = `${Math.floor(left / 2) || (left % 2 ? "" : "0")}${left % 2 ? "½" : ""}`;
  if (!left) return `${feet} ft`;
  return feet ? `${feet} ft ${inches} in` : `${inches} in`;
}

export function echoLengths(root) {
  for (const echo of root.querySelectorAll("[data-echo]")) {
    const field = document.getElementById(echo.dataset.echo);
    if (!field) continue;
    const say = () => {
      const metres = readLength(field.value, field.dataset.length);
      const digits = metres < 1 ? 3 : 2;
      echo.textContent = metres > 0 ? `${metres.toLocaleString(document.documentElement.lang, { minimumFractionDigits: 2, maximumFractionDigits: digits })} m, ${feetInches(metres)}` : "";
    };
    field.addEventListener("input", say);
    say();
  }
}
