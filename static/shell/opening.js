// @ts-check
// Before anything of the page is built: what would make opening it dear. Like mends.js this reaches into
// private parts of Panel; where a release changes them, tests/app/mends fails.

(() => {
  // Panel imports scripts through a shim for browsers of long ago, which reads and writes anew every module.
  window.importShim = Object.assign((/** @type {string} */ address) => import(new URL(address, document.baseURI).href), {
    addImportMap() { /* no script of this page has one */ },
  })

  // Panel lays a component out anew for every part that is drawn in it; once before the next picture is enough.
  const component = Bokeh.Models.get("panel.models.esm.ReactiveESM").prototype.default_view.prototype
  const layOut = component.compute_layout
  /** @type {Set<any>} */
  const due = new Set()
  const laid = () => {
    const views = [...due]
    due.clear()
    for (const view of views) if (view.el.isConnected) layOut.call(view)
  }
  /** @this {any} */
  component.compute_layout = function () {
    if (this.is_managed) return layOut.call(this)
    this._layout_computed = true    // what waits for it only has to know that it will be
    if (!due.size) (document.hidden ? setTimeout : requestAnimationFrame)(laid)
    due.add(this)
  }
})()
