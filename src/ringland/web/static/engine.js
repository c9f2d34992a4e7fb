/* Turns the crank in the cutaway by the same slider-crank that drew it. The page reads without it. */
(function () {
  "use strict";
  var p = "e";
  var el = function (id) { return document.getElementById(p + id); };
  function set(id, name, value) { var e = el(id); if (e) { e.setAttribute(name, value); } }
  function start() {
    var sheet = document.querySelector(".cutaway"), slider = document.getElementById("angle");
    if (!sheet || !slider || slider.dataset.on) { return; }
    slider.dataset.on = "1";
    var figure = function (name) { return Number(sheet.getAttribute("data-" + name)); };
    var r = figure("stroke") / 2, l = figure("rod"), exhaust = figure("exhaust"), transfer = figure("transfer");
    function show(deg) {
      var t = deg * Math.PI / 180, x = r * Math.sin(t), y = r * Math.cos(t), pin = y + Math.sqrt(l * l - x * x), down = r + l - pin;
      set("crank", "transform", "rotate(" + deg + ")");
      ["piston", "pin", "travelend"].forEach(function (id) { set(id, "transform", "translate(0 " + down + ")"); });
      set("rod", "transform", "translate(" + x + " " + (-y) + ") rotate(" + (-Math.atan2(x, pin - y) * 180 / Math.PI) + ")");
      var from = el("travelline").getAttribute("d").split(" ")[0].slice(1).split(",");
      set("travelline", "d", "M" + from[0] + "," + from[1] + " L" + from[0] + "," + (parseFloat(from[1]) + down));
      set("travel", "visibility", down > 13 ? "visible" : "hidden");
      el("traveltext").textContent = down.toFixed(1);
      set("traveltext", "y", parseFloat(from[1]) + down / 2 + 3.2);
      set("anglearc", "d", "M0,-21 A21,21 0 " + (deg > 180 ? 1 : 0) + " 1 " + 21 * Math.sin(Math.max(t, 0.002)) + "," + (-21 * Math.cos(t)));
      set("angleend", "transform", "rotate(" + deg + ")");
      set("angleend", "visibility", deg > 15 ? "visible" : "hidden");
      el("angletext").textContent = Math.round(deg) + "°";
      var f = (deg + 180 + (deg > 180 ? 55 : -55)) * Math.PI / 180;
      set("angletext", "x", 28 * Math.sin(f));
      set("angletext", "y", -28 * Math.cos(f) + 3.2);
      document.querySelectorAll("[data-ride]").forEach(function (n) {
        var q = n.getAttribute("data-ride").split(" ").map(Number), ax = q[2], ay = q[3] + down, dx = ax - q[0], dy = ay - q[1], k = Math.hypot(dx, dy);
        n.setAttribute("d", "M" + (q[0] + dx / k * q[4]) + "," + (q[1] + dy / k * q[4]) + " L" + ax + "," + ay);
      });
      document.querySelectorAll("[data-ride-dot]").forEach(function (n) { n.setAttribute("cy", Number(n.getAttribute("data-ride-dot")) + down); });
      document.getElementById("exword").textContent = down > exhaust ? "open" : "shut";
      document.getElementById("trword").textContent = down > transfer ? "open" : "shut";
      slider.setAttribute("aria-valuetext", Math.round(deg) + " degrees, piston " + down.toFixed(1) + " millimetres down");
    }
    function step(by) { slider.value = (Number(slider.value) + by + 360) % 360; show(Number(slider.value)); }
    slider.addEventListener("input", function () { show(Number(slider.value)); });
    document.getElementById("back").addEventListener("click", function () { step(-10); });
    document.getElementById("fore").addEventListener("click", function () { step(10); });
    show(Number(slider.value));
    var button = document.getElementById("valvebtn"), open = false;
    if (!button) { return; }
    button.addEventListener("click", function () {
      open = !open;
      var v = el("valve"), dx = Number(v.getAttribute("data-dx")), dy = Number(v.getAttribute("data-dy")), arm = el("arm");
      v.setAttribute("transform", open ? "translate(" + dx + " " + dy + ")" : "translate(0 0)");
      set("ghost", "transform", open ? "translate(" + (-dx) + " " + (-dy) + ")" : "translate(0 0)");
      arm.setAttribute("transform", arm.getAttribute("transform").replace(/rotate\([^)]*\)/, "rotate(" + arm.getAttribute(open ? "data-open" : "data-closed") + ")"));
      button.textContent = open ? "Show the power valve shut" : "Show the power valve open";
      button.setAttribute("aria-pressed", String(open));
    });
  }
  document.addEventListener("ringland:shown", start);
  start();
})();
