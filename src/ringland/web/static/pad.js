/* The number pad, and the grid that goes on to its next cell while the bench is away. */
(function () {
  "use strict";
  var field = null;
  function fieldNow() {
    if (field && document.contains(field)) { return field; }
    return document.querySelector("main [data-focus-field]");
  }
  document.addEventListener("focusin", function (event) { if (event.target.matches("[data-pad]")) { field = event.target; } });
  document.addEventListener("click", function (event) {
    var key = event.target.closest("[data-key]"), into = fieldNow();
    if (!key || !into) { return; }
    var text = into.value, what = key.dataset.key;
    if (what === "back") { text = text.slice(0, -1); }
    else if (what === "clear") { text = ""; }
    else if (what === "sign") { text = text[0] === "-" ? "+" + text.slice(1) : text[0] === "+" ? "-" + text.slice(1) : "+" + text; }
    else { text += what; }
    into.value = text;
  });
  /* the cell that was typed shows its value as waiting; the next one without a reading is next */
  document.addEventListener("ringland:queued", function (event) {
    var form = event.detail.form, here = form.querySelector("input[name=place]"), typed = event.detail.item.fields.find(function (f) { return f[0] === "value"; });
    if (!here || !form.querySelector(".grid")) { return; }
    var cells = Array.from(form.querySelectorAll(".cell")), place = function (c) { return new URL(c.href).searchParams.get("place"); };
    cells.forEach(function (cell) {
      if (place(cell) !== here.value) { return; }
      cell.classList.remove("next");
      cell.replaceChildren(Object.assign(document.createElement("span"), { className: "cv", textContent: typed ? typed[1] : "" }), Object.assign(document.createElement("span"), { className: "cs", textContent: here.value + ", waits" }));
      cell.dataset.read = "1";
    });
    var next = cells.find(function (c) { return !c.dataset.read && !c.querySelector(".cv") && !c.classList.contains("port"); });
    if (!next) { return; }
    next.classList.add("next");
    here.value = place(next);
    var label = form.querySelector("label[for=value]"), input = form.querySelector("#value"), head = document.querySelector("main h1");
    if (label) { label.textContent = label.textContent.replace(/: \S+,/, ": " + here.value + ","); }
    if (head) { head.textContent = head.textContent.replace(/ at \S+$/, " at " + here.value); }
    if (input) { input.focus(); }
  });
  var first = document.querySelector("main [data-gauge]");
  if (first && !document.querySelector("main [data-focus]")) { first.focus(); }
})();
