// Numbers as the rest of the page writes them: the same digits as plain_number in loadcalc/model/quantities_write.py.

const DIGITS = 3;

// To so many decimals, and a tie to the even digit, as Python does. A tie is exact in binary.
function roundedText(size, decimals) {
  const scaled = size * 10 ** decimals;
  const tie = scaled % 1 === 0.5 && (size * 2 ** (decimals + 1)) % 1 === 0;
  return (tie && Math.floor(scaled) % 2 === 0 ? Math.floor(scaled) / 10 ** decimals : size).toFixed(decimals);
}

function plainNumber(value, mostDecimals, group) {
  const size = Math.abs(value);
  if (!size) return "0";
  const decimals = Math.min(Math.max(DIGITS - 1 - Math.floor(Math.log10(size)), 0), mostDecimals);
  const [whole, part = ""] = roundedText(size, decimals).split(".");
  const idle = part.replace(/0+$/, "");
  const text = whole.replace(/\B(?=(\d{3})+$)/g, group) + (idle ? `.${idle}` : "");
  return value < 0 && text !== "0" ? `\u2212${text}` : text;
}

// The number and what stands behind it: "187" and "lb", or "15" and "in right".
function numberAndUnit(value, { decimals, group, unit, sides }) {
  if (!sides) return [plainNumber(value, decimals, group), unit];
  const text = plainNumber(Math.abs(value), decimals, group);
  return [text, text === "0" ? unit : `${unit} ${sides[value > 0 ? 0 : 1]}`];
}
