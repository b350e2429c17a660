// Which rows are on screen, and in which order. Pure functions on the rows that Python sends.

function wordsOf(text) {
  return text.toLowerCase().split(/\s+/).filter(Boolean);
}

function contains(row, words) {
  const text = row.cells.filter((cell) => typeof cell === "string").join(" ").toLowerCase();
  return words.every((word) => text.includes(word));
}

function isUnsaved(row) {
  return Boolean(row.draft || row.refused);
}

// A number when Python gave one for this cell; else a leading number in the text; else the text itself.
function sortValue(row, index, column) {
  const given = row.sort && row.sort[column.key];
  if (typeof given === "number") return given;
  const cell = row.cells[index];
  if (typeof cell === "boolean") return cell ? 0 : 1;
  if (column.kind === "number") {
    const number = parseFloat(cell.replace(",", "."));
    return Number.isNaN(number) ? null : number;
  }
  return cell === "" ? null : cell;
}

// Cells with nothing in them come last, whichever way the column is sorted.
function compareValues(a, b, down) {
  if (a === null || b === null) return (a === null) - (b === null);
  const numbers = typeof a === "number" && typeof b === "number";
  const order = numbers ? a - b : String(a).localeCompare(String(b), undefined, { numeric: true });
  return down ? -order : order;
}

// rows: as Python sends them. sort: {column, down}. Returns row keys; drafts stay at the end, unsaved rows stay in.
function arrangeRows(rows, columns, sort, words) {
  const shown = rows.filter((row) => isUnsaved(row) || contains(row, words));
  const index = columns.findIndex((column) => column.key === sort.column);
  if (index >= 0) {
    const value = new Map(shown.map((row) => [row, sortValue(row, index, columns[index])]));
    shown.sort((a, b) => Boolean(a.draft) - Boolean(b.draft) || compareValues(value.get(a), value.get(b), sort.down));
  }
  return shown.map((row) => row.key);
}

// While someone types in the table nothing jumps away: rows keep their places, new ones go to the end.
// order: row keys on screen; known: row keys that this view had before, on screen or not.
function keepOrder(rows, order, known) {
  const now = new Map(rows.map((row) => [row.key, row]));
  const added = rows.map((row) => row.key).filter((key) => !known.has(key));
  const all = [...order.filter((key) => now.has(key)), ...added];
  const isDraft = (key) => Boolean(now.get(key).draft);
  return [...all.filter((key) => !isDraft(key)), ...all.filter(isDraft)];
}
