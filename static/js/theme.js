// Runs before the first paint: the theme this phone chose, and whether it shows how steps are done.
try {
  document.documentElement.dataset.theme = localStorage.getItem("theme") || "sun";
  document.documentElement.dataset.how = localStorage.getItem("how") || "on";
} catch {
  document.documentElement.dataset.theme = "sun";
}
