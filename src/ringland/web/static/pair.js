/* The code of a scanned picture stands behind # in the address, so that it is never sent by itself. */
(function () {
  "use strict";
  var code = location.hash.replace(/\D/g, ""), field = document.getElementById("code");
  if (code && field) { field.value = code; history.replaceState(null, "", location.pathname); document.getElementById("by").focus(); }
})();
