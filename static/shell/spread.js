// @ts-check
// Ends the script of the page's modules (pvsim/app/bundle.py): runs them, and gives those that are imported from
// outside it their addresses, before anything imports one.

(() => {
  const { root, own, makers, asked, others } = window.pvsimBundle
  const script = /** @type {HTMLScriptElement} */ (document.currentScript)
  if (!HTMLScriptElement.supports?.("importmap")) return    // then each is fetched from its own address

  /** @type {PvsimModules} */
  const modules = window.pvsimModules = {}
  for (const [name, make] of Object.entries(makers)) modules[name] = Object.freeze(make(modules))

  /** @type {Record<string, string>} */
  const imports = {}
  for (const name of asked) {
    const module = `window.pvsimModules[${JSON.stringify(name)}]`
    const lines = Object.keys(modules[name]).map((one) =>
      one === "default" ? `export default ${module}.default` : `export const ${one} = ${module}.${one}`)
    const address = URL.createObjectURL(new Blob([lines.join("\n")], { type: "text/javascript" }))
    imports[own + name] = imports[root + name] = address
  }
  for (const name of others) imports[own + name] = root + name
  const map = document.createElement("script")
  map.type = "importmap"
  map.nonce = script.nonce
  map.textContent = JSON.stringify({ imports })
  script.after(map)
})()
