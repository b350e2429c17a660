// What both widgets need of the page they stand in.

function make(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text) node.textContent = text;
  return node;
}

// A live region must not speak again about what it already says.
function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

// Nothing typed here may reach the notebook, where single letters are commands. Only Ctrl+S (save) goes through.
function keepFromNotebook(event) {
  const save = (event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "s";
  if (!save) event.stopPropagation();
}
