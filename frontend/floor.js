// A classic script in the oldest dialect: it must run where the app cannot. Cascade layers arrived in
// Safari 15.4, Chrome 99 and Firefox 97, which is the floor of everything else we use.
(function () {
  var root = document.documentElement;
  var oldEnough = "CSSLayerBlockRule" in window && "noModule" in document.createElement("script");
  if (!oldEnough) {
    root.setAttribute("data-floor", "below");
    document.addEventListener("DOMContentLoaded", function () {
      var note = document.getElementById("too-old");
      if (note) note.hidden = false;
    });
  }
  // The look is set before the first paint, so that a dark screen never flashes white and large text never jumps.
  var strong = "matchMedia" in window && matchMedia("(prefers-contrast: more)").matches;
  if (strong) root.setAttribute("data-contrast", "more");
  try {
    ["theme", "contrast", "text"].forEach(function (name) {
      var chosen = localStorage.getItem("evenwater-" + name);
      if (chosen) root.setAttribute("data-" + name, chosen);
    });
  } catch (error) {
    // Storage may be barred; the system's look stands.
    return error;
  }
})();
