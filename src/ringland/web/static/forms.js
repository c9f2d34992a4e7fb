/* What is typed and not sent: it goes over into the page that takes this one's place, and where a
   form cannot wait on this device, it stays in the form until the bench answers, also after the
   page was closed. */
(function () {
  "use strict";
  var queue = window.ringlandQueue, DRAFT = "ringland-typed ", OWN = ["id", "at", "unit", "shown"];

  function fields(within) { return Array.from(within.querySelectorAll("input, textarea, select")); }
  function isTyped(f) {
    if (f.type === "hidden" || f.type === "range") { return false; }
    if (f.type === "radio" || f.type === "checkbox") { return f.checked !== f.defaultChecked; }
    if (f.tagName === "SELECT") { return Array.from(f.options).some(function (o) { return o.selected !== o.defaultSelected && o.selected && o.index; }); }
    return f.value !== f.defaultValue;
  }
  function dirty() { return fields(document.querySelector("main")).some(isTyped); }

  /* which form it is: what it says unseen, but for the id of the act */
  function formKey(form) {
    if (!form) { return ""; }
    var said = fields(form).filter(function (f) { return f.type === "hidden" && OWN.indexOf(f.name) < 0; });
    return JSON.stringify(said.map(function (f) { return [f.name, f.value]; }));
  }
  function fieldKey(f) { return formKey(f.form) + f.name + (f.type === "radio" || f.type === "checkbox" ? f.value : ""); }
  /* the fields that were typed into, but for those of the form that was just sent */
  function typed(sent) {
    return fields(document.querySelector("main")).filter(function (f) { return f.form !== sent && isTyped(f); })
      .map(function (f) { return { field: f, key: fieldKey(f), hand: f === document.activeElement, caret: f.type === "text" ? f.selectionEnd : null }; });
  }
  /* the fields themselves move over: with their text, their chosen file, their place in the text */
  function carry(list) {
    var there = fields(document.querySelector("main")), focused = null;
    list.forEach(function (each) {
      var found = there.find(function (f) { return f.type === each.field.type && fieldKey(f) === each.key; });
      if (!found) { return; }
      each.field.defaultValue = found.defaultValue;
      found.replaceWith(each.field);
      var folded = each.field.closest("details");
      if (folded) { folded.open = true; }
      if (each.caret !== null) { each.field.setSelectionRange(each.caret, each.caret); focused = focused || each.field; }
      if (each.hand) { focused = each.field; }
    });
    return focused;
  }

  /* ---- forms that do not wait on this device ---- */
  function draftKey(form) { return DRAFT + new URL(form.action, location.href).pathname + " " + formKey(form); }
  function draftOf(form) {
    return fields(form).filter(function (f) { return f.name && ["hidden", "file", "password"].indexOf(f.type) < 0; })
      .filter(function (f) { return (f.type !== "radio" && f.type !== "checkbox") || f.checked; })
      .map(function (f) { return [f.name, f.value]; });
  }
  function tell(form, text) {
    var said = form.querySelector("[data-unsent]") || Object.assign(document.createElement("p"), { className: "error" });
    said.setAttribute("role", "alert");
    said.dataset.unsent = "";
    var drop = Object.assign(document.createElement("button"), { type: "button", className: "btn", textContent: "Empty this form" });
    drop.addEventListener("click", function () { localStorage.removeItem(draftKey(form)); form.reset(); said.remove(); drop.remove(); });
    said.replaceChildren(text);
    if (!said.parentNode) { form.append(said, drop); }
  }
  function unsent(form) {
    localStorage.setItem(draftKey(form), JSON.stringify(draftOf(form)));
    var file = fields(form).some(function (f) { return f.type === "file" && f.value; });
    tell(form, "The bench does not answer: nothing was sent. What you typed stays here, also when you leave this page" + (file ? "; a file is chosen again then" : "") + ". Press again when it answers.");
    document.dispatchEvent(new Event("ringland:away"));
  }
  function restore() {
    document.querySelectorAll("main form[data-held]").forEach(function (form) {
      var kept = localStorage.getItem(draftKey(form));
      if (!kept || form.querySelector("[data-unsent]")) { return; }
      JSON.parse(kept).forEach(function (pair) {
        fields(form).filter(function (f) { return f.name === pair[0]; }).forEach(function (f) {
          if (f.type === "radio" || f.type === "checkbox") { f.checked = f.checked || f.value === pair[1]; } else if (f.type !== "file") { f.value = pair[1]; }
        });
      });
      var folded = form.closest("details");
      if (folded) { folded.open = true; }
      tell(form, "Typed before, while the bench did not answer. It is not sent yet.");
    });
  }
  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (!form.matches("form[data-held]")) { return; }
    event.preventDefault();
    if (form.dataset.busy) { return; }
    form.dataset.busy = "1";
    var data = new FormData(form, event.submitter), file = form.enctype === "multipart/form-data", draft = draftKey(form);
    queue.post(form.action, file ? data : new URLSearchParams(data), "text/html").then(function (answer) {
      if ([502, 503, 504].indexOf(answer.status) >= 0) { throw new Error(String(answer.status)); }
      if (answer.status === 401) { location.assign("/pair"); return; }
      return answer.text().then(function (text) {
        var page = queue.isPage(text);
        if (answer.ok && !page) { throw new Error("this was not the bench"); }
        localStorage.removeItem(draft);
        if (answer.redirected) { location.assign(answer.url); return; }
        if (page) { document.dispatchEvent(new CustomEvent("ringland:page", { detail: { text: text, form: form } })); } else { tell(form, text); }
      });
    }).catch(function () { unsent(form); }).finally(function () { delete form.dataset.busy; });
  });
  document.addEventListener("ringland:shown", restore);
  restore();
  window.ringlandForms = { dirty: dirty, typed: typed, carry: carry };
})();
