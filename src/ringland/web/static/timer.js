/* Shows how long a timer has run; starting and stopping are entries. */
(function () {
  "use strict";
  function tick() {
    var skew = Number(localStorage.getItem("ringland-skew") || 0);
    document.querySelectorAll("[data-started]").forEach(function (shown) {
      var run = Math.max(0, Math.floor((Date.now() + skew - Date.parse(shown.dataset.started)) / 1000));
      var planned = Number(shown.dataset.planned || 0);
      var text = Math.floor(run / 60) + ":" + String(run % 60).padStart(2, "0");
      shown.textContent = planned && run >= planned ? text + ", time is up" : text;
      if (planned && run >= planned && !shown.dataset.told) {
        shown.dataset.told = "1";
        if (navigator.vibrate) { navigator.vibrate([200, 100, 200]); }
        document.getElementById("status").textContent = "Time is up.";
      }
    });
  }
  setInterval(tick, 1000);
  tick();
})();
