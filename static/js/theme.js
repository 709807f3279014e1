// Runs before the first paint: the theme this phone chose.
try {
  document.documentElement.dataset.theme = localStorage.getItem("theme") || "sun";
} catch {
  document.documentElement.dataset.theme = "sun";
}
