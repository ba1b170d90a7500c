// @ts-check
// Light or dark as the device is, before the first paint and whenever it changes.
{
  const dark = matchMedia("(prefers-color-scheme: dark)")
  const look = () => { document.documentElement.dataset.theme = dark.matches ? "dark" : "light" }
  dark.addEventListener?.("change", look)
  look()
}
