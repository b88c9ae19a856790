// What was refused, back in the fields it came from.

export function putBack(root, row) {
  for (const [name, value] of row.fields) {
    for (const field of root.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
      if (field.type === "radio" || field.type === "checkbox") field.checked ||= field.value === value;
      else if (field.type !== "hidden" && field.type !== "file") field.value = value;
    }
  }
}

// To a part of the page, opened where it is folded away, with the hand on its first field for words.
export function goTo(part) {
  if (!part) return;
  for (let fold = part.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  part.scrollIntoView({ block: "center" });
  const words = [...part.querySelectorAll("input[type=text], textarea")].find((field) => field.getClientRects().length);
  (words ?? part.querySelector("input:not([type=hidden]), select"))?.focus({ preventScroll: true });
}
