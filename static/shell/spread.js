// @ts-check
// Follows the texts of the page's modules (pvsim/app/bundle.py) in one script: makes the modules of them, before
// anything imports one.

(() => {
  const { root, own, texts, others } = window.pvsimBundle
  const script = /** @type {HTMLScriptElement} */ (document.currentScript)
  if (!HTMLScriptElement.supports?.("importmap")) return    // then each is fetched from its own address

  /** @type {Record<string, string>} */
  const imports = {}
  for (const [name, text] of Object.entries(texts)) {
    const named = `\n//# sourceURL=${new URL(root + name, document.baseURI).href}\n`
    const address = URL.createObjectURL(new Blob([text, named], { type: "text/javascript" }))
    imports[own + name] = imports[root + name] = address
  }
  for (const name of others) imports[own + name] = root + name
  const map = document.createElement("script")
  map.type = "importmap"
  map.nonce = script.nonce
  map.textContent = JSON.stringify({ imports })
  script.after(map)
})()
