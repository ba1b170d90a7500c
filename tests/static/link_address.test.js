import assert from "node:assert/strict"
import { test } from "node:test"

import { linkAddress } from "../../static/shell/file_fields.js"

const at = (address) => new URL(address)
const LINK = "s=1_abc"

test("a link of a page that others can reach is its own address", () => {
  const found = linkAddress({ link: LINK, reach: "http://10.0.0.7:5006" }, at("https://bench.example/pv/page?old=1#x"))
  assert.deepEqual(found, { url: "https://bench.example/pv/page?s=1_abc", serves: "all" })
})

for (const host of ["localhost", "127.0.0.1", "127.3.2.1", "[::1]"]) {
  test(`a link of ${host} takes the address on the network, where there is one`, () => {
    const here = at(`http://${host}:5006/`)
    assert.deepEqual(linkAddress({ link: LINK, reach: "http://10.0.0.7:5006" }, here), { url: "http://10.0.0.7:5006/?s=1_abc", serves: "network" })
    assert.deepEqual(linkAddress({ link: LINK }, here), { url: `http://${host}:5006/?s=1_abc`, serves: "alone" })
  })
}
