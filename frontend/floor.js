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
  // The theme is set before the first paint, so that a dark screen never flashes white.
  try {
    var theme = localStorage.getItem("evenwater-theme");
    if (theme === "light" || theme === "dark") root.setAttribute("data-theme", theme);
  } catch (error) {
    // Storage may be barred; the system's theme stands.
    return error;
  }
})();
